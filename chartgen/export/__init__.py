"""Export: a `Drawing` written as SVG, PNG or PDF, and files put in place whole."""
