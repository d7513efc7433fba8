"""Planning an exam: rooms, sittings, class list, pool, the draw, and an exam's way from draft to release.

Pure, without Django: plan, chance, solver, allocation, codes, commitment, roster*, pool. The rest writes
(services), reads (selectors) or speaks HTTP (views, forms).
"""
