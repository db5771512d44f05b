"""What is kept between one day and the next: tanks, diaries, plans and house notes.

Tables, their mapping and their migrations live here, and nothing above or below knows how a
row is stored. Nothing is kept yet: plans are made from tank files alone.
"""
