"""From a file as delivered to cells as read: records, layouts, cells, readings of texts."""
