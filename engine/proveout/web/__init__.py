"""The page for the phone under the car: what is seen in a browser, over the same `app/` as the commands."""
