"""Many runs of the tunnel: which, what they cost, where they run, and how they are kept."""
