"""The campaign: random instances with every feature and every pair of features, and two judges.

``drawn`` draws the instances, ``features`` names what each shows, ``judged`` holds kitsolver's
answers against the naive twin and against exact enumeration, ``questions`` does so for what is
asked beyond the best kit. ``tests/bench/campaign.py`` runs it.
"""
