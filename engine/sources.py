"""Where the trade's numbers come from: one key a source, named by every value of `configs/practice.toml`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Seen = Literal["read", "reproduction", "memory", "trade", "own"]
# read: in the document itself; reproduction: in somebody's faithful copy; memory: not checked against a copy;
# trade: common practice without a written source; own: a start value of this program


@dataclass(frozen=True)
class Source:
    """A document, its edition, the clause that speaks, and how it was seen."""

    title: str
    edition: str
    clause: str
    seen: Seen


ADA = "ADA Standards for Accessible Design"
UFC = "UFC 3-270-03, Concrete Crack and Partial-Depth Spall Repair"
FHWA = "FHWA, Partial-Depth Repairs, web guide and pavement preservation checklist 9"

SOURCES: dict[str, Source] = {
    "practice": Source("Common trade practice, no written source", "", "", "trade"),
    "assumed": Source("Start value of this program", "", "", "own"),
    "aci-117": Source(
        "ACI 117, Tolerances for Concrete Construction", "2010", "gap under a straightedge", "memory"
    ),
    "aci-305.1": Source(
        "ACI 305.1, Specification for Hot Weather Concreting", "2014", "1.3 and discharge", "reproduction"
    ),
    "aci-306r": Source(
        "ACI 306R, Guide to Cold Weather Concreting", "2016", "placing temperatures", "reproduction"
    ),
    "aci-306r-mixed": Source(
        "ACI 306R, Guide to Cold Weather Concreting", "2016", "mixing temperatures and notes", "reproduction"
    ),
    "aci-306r-protection": Source(
        "ACI 306R, Guide to Cold Weather Concreting", "2016", "protection of accelerated mixes", "memory"
    ),
    "aci-306r-wet": Source(
        "ACI 306R, Guide to Cold Weather Concreting", "2016", "freezing and thawing while wet", "memory"
    ),
    "aci-318-26.4.2.1": Source("ACI 318, Building Code Requirements", "2014", "26.4.2.1", "memory"),
    "aci-cold-weather": Source(
        "American Concrete Institute, topic page on cold weather", "", "definition", "read"
    ),
    "access-board-tolerances": Source(
        "US Access Board, report on dimensional tolerances", "2011", "", "read"
    ),
    "ada-303.2": Source(ADA, "2010", "303.2", "reproduction"),
    "ada-303.3": Source(ADA, "2010", "303.3", "read"),
    "ada-403.3": Source(ADA, "2010", "403.3", "reproduction"),
    "ada-404.2.4.4": Source(ADA, "2010", "404.2.4.4", "read"),
    "ada-404.2.5": Source(ADA, "2010", "404.2.5", "memory"),
    "ada-405.2": Source(ADA, "2010", "405.2 and its table", "read"),
    "ada-405.3": Source(ADA, "2010", "405.3", "read"),
    "ada-405.5": Source(ADA, "2010", "405.5", "read"),
    "ada-405.6": Source(ADA, "2010", "405.6", "read"),
    "ada-405.7": Source(ADA, "2010", "405.7", "memory"),
    "ada-405.8": Source(ADA, "2010", "405.8", "read"),
    "ada-405.9": Source(ADA, "2010", "405.9", "reproduction"),
    "ada-406.2": Source(ADA, "2010", "406.2", "read"),
    "ada-504.2": Source(ADA, "2010", "504.2", "read"),
    "ada-504.4": Source(ADA, "2010", "504.4", "read"),
    "ada-504.5": Source(ADA, "2010", "504.5", "read"),
    "ashrae-wind": Source(
        "ASHRAE Handbook, Fundamentals: local wind speed",
        "2005",
        "profile coefficients by terrain",
        "reproduction",
    ),
    "ashrae-film": Source(
        "ASHRAE Handbook of Fundamentals, rough surfaces, radiation included", "1989", "", "reproduction"
    ),
    "astm-c928": Source("ASTM C928, Packaged Rapid-Hardening Materials", "2005", "table 1, class R1", "read"),
    "astm-c928-packages": Source(
        "ASTM C928, Packaged Rapid-Hardening Materials", "2009", "13.1.6, mass of a package", "read"
    ),
    "astm-d4263": Source("ASTM D4263, Moisture in Concrete by the Plastic Sheet Method", "2018", "", "read"),
    "definition": Source("By definition", "", "", "own"),
    "fhwa-curing": Source("FHWA-HRT-05-038, Guide for Curing Pavements II", "2006", "chapter 5", "read"),
    "fhwa-partial-depth": Source(FHWA, "2015", "3 to 5", "read"),
    "ibc-1011.5.4": Source("International Building Code", "2015", "1011.5.4", "memory"),
    "ice-balance": Source(
        "Wasit Journal of Engineering Sciences, reach of the heat balance with ice",
        "2017",
        "abstract",
        "read",
    ),
    "osha-1926.1052": Source("29 CFR 1926.1052, Stairways", "", "(a)(3)", "memory"),
    "osha-heat-guide": Source("OSHA, Using the Heat Index: a Guide for Employers", "", "risk bands", "read"),
    "osha-heat-proposal": Source(
        "OSHA, proposed heat rule (not law)", "2024", "triggers, water, rests", "reproduction"
    ),
    "pca-freezing": Source(
        "PCA, Design and Control of Concrete Mixtures, after Powers 1962", "", "14", "read"
    ),
    "step-neighbours": Source("Step codes on neighbouring risers and treads", "", "", "memory"),
    "tm-5-822-7": Source("TM 5-822-7, hot-weather placing (older edition)", "", "", "read"),
    "tm-5-852-4": Source("TM 5-852-4, Foundations for Structures in cold regions", "", "hot water", "read"),
    "txdot-repair": Source(
        "Texas DOT, Concrete Repair Manual", "2021", "chapter 3 section 4, repair materials", "read"
    ),
    "ufgs-03311-cure": Source("UFGS 03311 and a naval guide (older editions)", "", "membrane curing", "read"),
    "ufgs-03311": Source("UFGS 03311 and 03300N (older editions)", "", "sealer-hardener", "read"),
    "ufc-3-270-03": Source(UFC, "2001, since withdrawn", "3, 15, 16 and table 3.1", "read"),
}
