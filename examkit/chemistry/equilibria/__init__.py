"""What solubility products and complexes say about the tube: how much falls, how far from the limit it is.

Pure like the rest of the engine. Constants and conditions are data (shared/constants/, and `conditions`
of a scheme); PHREEQC solves. Temperature 25 °C; activities by the Davies equation; molality stands for
molarity. Above 0.5 mol/L of ions Davies is an estimate: the thresholds allow for a factor of ten.
"""
