"""The core's own commands and what each is for; calculators come beside them, from plugins. Light: no imports."""

from __future__ import annotations

COMMANDS = {
    "job": "Job sheets: make one, add readings, work it out, make the report.",
    "compare": "The same measurement in several jobs: known good beside doubtful.",
    "archive": "Finished jobs: how often which place it was, and how good the stated chances were.",
    "card": "Cards for the bay: list and print.",
    "capture": "Say what is in a logged file, and what of it cannot be used.",
    "fuels": "List the fuel models and what each is good for.",
    "units": "List the units that readings may have.",
    "schema": "Print the JSON Schema of results, or of a calculator's inputs.",
    "explain": "What a calculator proves, its formulas, inputs, a worked example, sources.",
    "spec": "The spec book: your own ranges by name, with source and date.",
    "shop": "Settings of the workshop: technician, language, usual units, instruments.",
    "plugins": "Plugins: list, show, switch off and on, make a new one, check one.",
}
