"""Promises of the interface, kept by driving real windows without a screen."""
