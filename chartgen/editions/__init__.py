"""Editions for sale: the written pattern with its drawings, as a booklet, as cards."""
