"""Simulated patients with a known truth, judged by the real flag rules.

What they raise, how soon a patient who stops is shown, and what other thresholds
would change: `python -m tests.behaviour`. How people behave here is our own
assumption, no source; each habit says what it assumes.
"""
