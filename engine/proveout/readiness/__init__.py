"""What the regulations ask after a repair: monitors, driving, emissions inspection, warranty."""
