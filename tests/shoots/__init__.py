"""Shoots for tests, made by code: re-lit with known truth, judged, small, of one bowl, a newcomer's.

What takes time to make is made once in a run of the tests, for all its workers (made_once), and copied for a test that
writes into it (copied).
"""
