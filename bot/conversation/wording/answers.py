"""How people answer our own choices, besides the label and its number."""

# ruff: noqa: E501  word lists
from __future__ import annotations

from typing import Final

_YES: Final = ("go ahead", "k", "kk", "says go ahead", "they want it", "he says yes", "she says yes", "customer says yes",
               "cust says yes", "cust says go ahead", "customer ok", "customer agrees", "yes", "y", "yep", "yeah", "yea", "ya", "sure", "ok", "okay", "right", "correct", "si", "sí", "claro",
               "affirmative", "yup", "ok yes", "go", "go ahead", "do it")
_NO: Final = ("too dear", "too expensive", "they dont want it", "customer says no", "cust says no", "doesnt want it",
              "not worth it", "they said no", "no", "n", "nope", "nah", "negative", "not", "wrong", "no way")
_DONE: Final = ("done", "all done", "finished", "its in", "in", "replaced", "fitted", "swapped", "swapped it", "listo",
                "hecho", "ready", "installed", "its done", "new one in", "new one is in", "fixed it", "cleaned",
                "cleaned it", "all good", "yes", "ok", "ya esta", "did it", "got it in", "thats done", "all set")

WORDS: Final[dict[str, dict[str, tuple[str, ...]]]] = {
    "en": {
        "top_load_washer": ("top", "top one", "top load", "top loader", "tl", "top door", "lid on top", "opens on top",
                            "top opening", "de arriba", "arriba", "tapa arriba"),
        "front_load_washer": ("front", "front one", "front load", "front loader", "fl", "front door", "door in front",
                              "glass door", "round door", "opens in front", "de frente", "frontal"),
        "yes": _YES,
        "no": _NO,
        "got_part": ("got one", "have one", "have it", "got it", "i have one", "on the truck", "on the van", "in stock",
                     "in the van", "in the truck", "i got one", "yes", "lo tengo", "tengo uno"),
        "order": ("order it", "order", "need to order", "dont have one", "dont have it", "need one", "no part",
                  "not on the truck", "have to order", "pedir", "no tengo", "ordering", "order one"),
        "clean_only": ("clean it", "just clean it", "cleaning it", "clear it", "just clear it", "no part needed",
                       "dont need a part", "dont need one", "i can clean it", "just needs cleaning", "limpiarlo"),
        "no_part": ("no part", "without a part", "no part needed", "dont need a part", "dont need one", "sin pieza", "dry it",
                    "just dry it", "reset it", "just reset it", "refit it", "just refit it", "free it", "just free it",
                    "seat it", "just seat it", "try without", "try it without"),
        "do_it": ("do it", "doing it", "ok", "yes", "sure", "will do", "go", "on it", "hacerlo", "dale", "lets do it"),
        "doubt": ("not convinced", "not sure", "doubt it", "dont think so", "i dont think so", "no", "disagree",
                  "i doubt it", "cant be", "wrong", "no creo", "hm not sure"),
        "tagged": ("tag it", "tagged", "tagged it", "dead and tagged", "its tagged", "leave it dead"),
        "unsafe_tagged": ("unsafe", "unsafe and tagged", "tagged", "tagged it", "dead and tagged"),
        "later": ("later", "not now", "think about it", "they want to think", "call back", "waiting", "mas tarde",
                  "luego", "needs to ask", "has to ask", "wants to think about it"),
        "goes_ahead": (*_YES, "they want it", "approved", "they decided yes"),
        "declines": (*_NO, "declined", "they decided no"),
        "done": _DONE,
        "stuck": ("stuck", "cant", "problem", "trouble", "wont come off", "seized", "doesnt fit", "wrong part",
                  "atascado", "no puedo"),
        "holds": ("works", "working", "fixed", "good", "all good", "yes", "like new", "works fine", "its working",
                  "runs fine", "perfect", "good now", "works now", "funciona", "bien", "ok", "yep", "holds", "solved",
                  "its good", "sorted", "runs good", "it works", "working now", "great", "spins like new"),
        "same_trouble": ("same", "same again", "same thing", "same trouble", "yes same", "yes", "again", "lo mismo"),
        "other_trouble": ("other", "different", "something else", "no", "new trouble", "otra cosa"),
        "never_was": ("never", "a slip", "slip", "typo", "mistake", "my mistake", "false alarm", "it never was",
                      "never there", "was never there", "no danger", "nunca", "by mistake"),
        "stands": ("stands", "yes", "yep", "yeah", "it is there", "its there", "still there", "keep it", "si"),
        "same": ("same", "still", "no change", "same thing", "no", "nope", "still same", "not fixed", "igual",
                 "still does it", "didnt help", "no difference", "sigue igual", "nothing changed", "same as before"),
        "other": ("other", "something else", "none", "none of these", "none of those", "neither", "otro", "otra cosa",
                  "ninguno", "different", "else"),
        "all_done": ("all done", "done", "yes", "ok", "all good", "yep", "listo", "all set", "all of it", "everything",
                     "finished", "si", "all ok", "good"),
        "not_yet": ("not yet", "no", "not all", "wait", "todavia no", "in a minute", "missing", "nope"),
        "dead": ("dead", "its dead", "unplugged", "its out", "plug is out", "breaker off", "off", "power off", "no smoke",
                 "safe", "done", "yes", "ok", "desenchufado", "dry", "water off", "waters off", "its off"),
        "out": ("out", "we are out", "were out", "all out", "outside", "im out", "everyone out", "fuera", "estamos fuera",
                "out now", "everybody out", "im outside", "we are outside", "all outside", "were all out"),
        "worse": ("worse", "still smoking", "smoke", "flames", "fire", "still running", "cant", "cant reach it",
                  "still", "no"),
        "customer": ("customer", "customer pays", "them", "cliente", "homeowner", "landlord", "tenant"),
        "warranty": ("warranty", "under warranty", "garantia", "guarantee"),
        "ours": ("ours", "our own", "callback", "its on us", "us", "nosotros", "on us"),
        "opens": (*_YES, "it opens", "that opens", "only that one"),
        "shut": (*_NO, "cant", "no way in", "wont open"),
        "each": ("both", "each", "both of them", "all", "all of them", "every one", "ambos", "los dos", "todos"),
        "measure_again": ("again", "measure again", "check again", "recheck", "redo", "otra vez"),
        "as_said": ("yes", "yep", "thats right", "correct", "sure", "si", "right", "thats what it says"),
        "carry_on": ("carry on", "go on", "continue", "keep going", "seguir", "resume", "back to it", "on with it"),
        "dont_know": ("dont know", "i dont know", "not sure", "no idea", "dunno", "cant tell", "idk", "no se", "neither",
                      "unsure", "hard to tell"),
        "skip": ("skip", "no", "dont have one", "none", "later", "dont know", "saltar", "no idea", "not now"),
        "arrived": ("part is here", "got the part", "arrived", "its here", "here", "part arrived", "llego", "have it now",
                    "parts here", "got it"),
    },
}


def choice_words(value: str, language: str = "en") -> tuple[str, ...]:
    """Common ways to say the choice `value`; English ones everywhere, since crews mix languages."""
    english = WORDS["en"].get(value, ())
    return english if language == "en" else (*WORDS.get(language, {}).get(value, ()), *english)
