SELECT load_id
FROM load_account
WHERE cells <> empty + set_aside + held + duplicate + new + revision
