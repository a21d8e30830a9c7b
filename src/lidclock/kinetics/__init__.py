"""Growth, exposure, lethality on arrays: advice that warns earlier, never a limit."""
