"""Who logs in, who may see what, and who changed what last."""
