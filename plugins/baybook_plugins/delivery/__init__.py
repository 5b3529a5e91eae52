"""What each injector gives, and whether the cylinder or its injector is to blame."""
