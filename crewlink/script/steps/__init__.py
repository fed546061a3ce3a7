"""All kinds of steps, one struct a kind, told apart by `do`."""

from __future__ import annotations

from crewlink.script.steps.before import BeforeStep
from crewlink.script.steps.conduct import ConductStep
from crewlink.script.steps.corrections import CorrectionStep
from crewlink.script.steps.crew import CrewStep
from crewlink.script.steps.handing import HandingStep
from crewlink.script.steps.play import PlayStep
from crewlink.script.steps.requests import RequestStep

AnyStep = BeforeStep | PlayStep | RequestStep | ConductStep | CorrectionStep | CrewStep | HandingStep
