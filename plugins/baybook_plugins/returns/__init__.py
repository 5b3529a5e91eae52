"""The injector return balance."""
