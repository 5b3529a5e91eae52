"""The physics that several calculators share, and inference for any simulator; below the plugins, beside the core.

Numbers and arrays in, numbers and arrays out: no readings, no sentences, no command line. Docstrings say units and shapes.
Pressures are MPa (absolute unless a name says gauge), temperatures °C, volumes cm3, flows mL/min, times s.

    fuels         density, moduli, expansion, heat, viscosity over pressure and temperature, and how well each is known
    compliance    what gives under pressure beside the liquid: steel, free gas
    heat          how fuel follows the wall and the wall drifts to ambient
    orifice       flow and equivalent diameter of a sharp-edged hole
    pipe          friction, drop and lift of a line, laminar to turbulent
    filtration    a filter's drop over flow and viscosity
    viscosity     kinematic viscosity over temperature, Walther's lines
    dissolved_air what comes out of solution under a depression
    pump          a piston pump: displacement, compression, delivery
    leaks         leak laws: clearance, orifice, both                                          (loads numpy)
    closed_rail   mass and energy balance of a closed rail: an ensemble integrated at once     (loads numpy)
    mass_balance  the same balance between two states, for plain floats
    wire          a copper wire by length and section
    coil          a solenoid as a series circuit of resistance and inductance, and copper over temperature
    inference     segment, bin, fit, sample, evidence: for any simulator with priors

A model of the whole system (pump, rail, injectors, control) belongs here, as a package of its own on top of these modules and
with the interface of `inference.problem`, so that the same inference serves it; there is none yet.
"""
