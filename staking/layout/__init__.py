"""Strings, batter boards, hubs and the distances to tape."""
