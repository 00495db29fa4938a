"""The plant folder: what a plant says about itself, read, validated and versioned."""
