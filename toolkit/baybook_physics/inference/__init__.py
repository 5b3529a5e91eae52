"""Inference for any simulator with priors: segment, bin, fit, sample, weigh the evidence.

segment    where in a record the signal belongs to one experiment
binning    the record reduced to the means that matter
problem    what a simulator has to offer (a protocol)
fit        the most probable parameters, and whether the noise explains what is left
sample     weighted draws of what can be true
evidence   how probable each of several hypotheses is
weights    intervals of weighted draws
intervals  the same for plain floats, and evenly spread draws; the only one that loads no numpy
"""
