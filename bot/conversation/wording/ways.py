"""Ways in which techs answer the questions that every visit has, beside the choices' own words.

One pattern a value. An answer counts when it fits one value of its question and no other.
"""

from __future__ import annotations

import re
from typing import Final

TROUBLES: Final = (
    r"(?:leak\w*|noises?|drips?|dripping|codes?|errors?|smells?|stink|smoke|trips?|tripping|sparks?|sparking|click\w*|tick\w*|"
    r"bang\w*|knock\w*|squeal\w*|squeak\w*|thump\w*|hum\w*|buzz\w*|grind\w*|rattl\w*|rumbl\w*|shak\w*|vibrat\w*|walking|"
    r"beep\w*|foam|suds|overflow\w*|frost|ice)")
"""What a machine in order does not do."""
_BURST: Final = r"(?:wh?oo?m(?:ph?|pf)?|whump|whoosh|boom|puff|poof|bang|thump|squeal|squeak|rattle|buzz)"
"""A single sound that is no more: 'lights in 30 sec, no whoomp'."""
_AGAIN: Final = (
    r"\b(still|again|same|no change|no difference|nope|nah|didnt (help|fix|do)|hasnt|worse|sigue|igual|otra vez)\b")
_NOT: Final = r"\b(not|no|nada|never|wont|dont|doesnt|didnt|isnt|aint|cant|nothing|but|except|other than|only)\b"
_CURED: Final = (
    r"\b(works?|working|turns?|turning|tumbl\w+|wash(es)?|fixed|good|great|fine|perfect|like new|sweet|purrs|held|"
    r"holds|holding|dry|hot|cold|"
    r"cooling|heats|heating|"
    r"(?:frost|ice|coil)(?: is| are|s)?(?: all)? (?:melt\w*|thaw\w*|clear(?:s|ing|ed)?|coming off|gone)|"
    r"(?:temps?|temperature|freezer|frzr?|fridge|it|its)(?: is| are|s)? (?:dropp?(?:s|ing)|falling|(?:coming|going|"
    r"pulling) down)|pulling down|"
    r"(?:heater|element|oven|water|drum)(?: is| are|s)? (?:gets?|getting|warms|warming)(?: (?:nice|and|up|good|warm))*|"
    r"(?:heater|element)s?(?: is| are|s)? (?:glow(?:s|ing)|red|comes? on|sizzl(?:es|ing))|"
    r"(?:dead|spot|right|bang) on(?! (?:the|a|my|arrival)\b)|on the (?:dot|money|nose|button)|"
    r"quiet|smooth|drains?|drained|pumps?|spins?|spun|fills?|filled|starts?|lights?|lit|runs?|ran|up to speed|solved|"
    r"funciona|listo|bien|jala|seco|fri[oa]|caliente|all (the way|good|done)|no (more )?(leaks?|noise|drips?|"
    rf"codes?|smell|trips?|sparks?|{_BURST})|no more {TROUBLES})\b")
WAYS: Final[dict[str, dict[str, str]]] = {
    "repair": {
        "done": r"\b(done|finished|all set|swapped|changed|replaced|fitted|installed|cleaned|cleared|tightened|"
                r"reset|spliced|crimped|soldered|rewired|mended|patched|its in|is in|^in(?=\s*[,.;])|in (and|n)|in now|"
                r"(both|all|theyre|they are) in|"
                r"^(?!not?\b|noth|power|water)(the |new )?\w+( \w+)? (on|in)(?=\s*[,.;]|\s+(n|and)\b)|"
                r"out|back (on|in|together)|hooked (it )?(back )?up|new (one|part|\w+)( is)? (in|on)|"
                r"put (it )?(back )?in|seated|listo|puest[oa]|cambiad[oa])\b",
        "stuck": r"\b(stuck|seized|rounded|strip(ped|s)|snapped|broke|frozen|rusted|wont (budge|come|move|fit|"
                 r"go|let)|cant (get|reach|find|budge|break|fit)|"
                 r"doesnt fit|dont fit|wrong (part|one)|need (help|a|another|the)|no room|no puedo|atorad[oa]|"
                 r"no cabe)\b",
        "not_yet": r"\b(not yet|not done|(doing?|putting?|fitting?|swapping?) (it|em|them|one|that)\b|"
                   r"hang on|hold on|give me|gimme|one (sec|minute|min)|almost|nearly|"
                   r"working on|still (at|on|work|putting|got|have)|"
                   r"halfway|in a (sec|min)|min(ute)?s? (more|left)|espera|ya casi|todavia)\b"},
    "consent": {
        "yes": r"\b(yes|yep|yeah|yup|sure|go ahead|goes? for it|do it|approved?|agreed?|agrees|thumbs up|"
               r"(fine|ok(ay)?|good|happy|cool|al+ ?right) (with|w|by)\b|"
               r"(cust|customer|owner)s? (is )?ok(ay)?|ok(ay)?s it|ok(ay)?d|"
               r"(says|said) (to |its |it is |thats |thats all )?(go|fine|sure|ok(ay)?|good)|green light|"
               r"(dont|doesnt|does not|do not) mind|on board|all for it|"
               r"no (problem|probs?|objections?|worries|brainer)|"
               r"(?<!dont )(?<!doesnt )(?<!not )wants? (it\b(?! (for|to|cheaper|free|back|gone|out|done by))|"
               r"(it )?(me|us) to)|sale|adelante|si|dijo que si)\b",
        "no": r"\b(nope|nah|dont want|doesnt want|does not want|not (paying|worth|interested|doing)|wont pay|"
              r"too (dear|much|expensive|pricey|high)|declin\w*|"
              r"no way|rather buy|buy(ing)? (a )?new|new (one|machine) instead|pass(es|ed)?\b|hard no|no quiere|"
              r"muy caro)\b",
        "later": r"\b(think(s|ing)?|ask(s|ing)?|talk to|check with|call(s|ing)? (me|us|back|you|her|his)|later|"
             r"tomorrow|next (week|month)|payday|let (us|me|you) know|"
                 r"get back|husband|wife|decide|not today|wait(s|ing)?|luego|manana|pensar)\b",
        "covered": r"\b(warranty|covered|landlord( pays|s bill)?|ll pays|contract|insurance|not (their|his|"
                   r"her) bill|property manag\w+|management|"
                   r"company pays|garantia|seguro)\b"},
    "finding": {
        "got_part": r"\b(got (one|it|that|two|em|them|those|these|some|both|a spare|a set)|"
                    r"have (one|it|that|em|them|those|these|some|a set)|"
                    r"(?<!not )(?<!none )(on|in) (the |my )?(truck|van)|in stock|right here|with me|"
                    r"carry (one|them)|(?<!no )tengo|"
                    r"^\W*((ok(ay)?|yep|yes|yeah|sure|right|alright|cool|got it)\W+)*"
                    r"(ill |gonna |going to |am |im |will )?"
                    r"(do|doing?|swap|swappi?ng?|fit|fitti?ng?|chang(e|ing?)|putt?i?n?g?|replac(e|ing?)) "
                    r"(it|em|them|that|those|one|both)( (on|in))?( now| then| right now)?(?=\W*$))\b",
        "order": r"\b(order(ed|ing|d)?|ordr(e?d|ing)?|oder(ed|ing)|need to get|"
             r"(get|send|grab) (me |us )?(it|one|that|the part|another|a new one)\b"
             r"(?! (on|in|out|back|off|up|to|done|here|going|working|running))|dont have (one|it|that|em|them)|"
             r"havent got|none on|not on (the|my) (truck|van)|get me one|have to get|pedir|pidel[ao])\b",
        "doubt": r"\b(not (so )?(sure|convinced|buying)|dont (think|believe|buy)|doubt\w*|check(?:ing)? (it|that|"
                 r"something) (again|first|else)|another (test|check)|really|"
                 r"hm+|no creo|seems off|makes no sense)\b",
        "without_part": r"\b(no (new )?parts?( needed| at all)?(?! (on|in|here|with|yet))|"
                        r"parts? (is |are )?(not|isnt|arent) needed|"
                        r"(dont|doesnt|wont) need (a|any|the|no|new)? ?(new )?parts?|not needed|"
                        r"(just|only) (clean|clear|dry|wip|reset|refit|reseat|free)(ing?|e)?( it| that)?( out| off)?|"
                        r"(clean|dry|clear|reseat)\w* (it |that )?(will|should|ll|oughta) do|sin pieza)\b",
        "declined": r"\b(dont want|doesnt want|wont pay|not paying|too (dear|much|expensive)|declin\w*|"
                    r"customer says no|cust says no|rather buy|buy(ing)? (a )?new|"
                    r"no quiere)\b"},
    "waiting": {
        "arrived": r"\b(here|arrived|came( in)?|showed up|got (it|the part)|part is in|its in|in my hand|"
                   r"delivered|picked (it )?up|ya llego|llego)\b",
        "not_yet": r"\b(not (yet|here|in)|back ?order\w*|delayed|late|held up|lost|forgot\w*|still (waiting|"
                   r"nothing|not)|no sign|nothing yet|tomorrow|next week|shipping|todavia no)\b",
        "leave": r"\b(cancel\w*|bought (a )?new|buying (a )?new|gave up|doesnt want|dont want|forget it|"
                 r"scrap\w*|close it|called it off|no quiere)\b"},
    "leave": {
        "declined": r"\b(declin\w*|dont want|doesnt want|not paying|wont pay|too (dear|much|expensive|high)|"
                    r"no sale|said no|says no|no quiere|not going (ahead|for it))\b",
        "no_access": r"\b(nobody|no one|noone|not home|no access|no answer|no show|locked|couldnt get in|"
                     r"cant get in|gate|nadie)\b",
        "not_safe": r"\b(not safe|unsafe|dangerous|flooded|live wires?|hazard|gas smell|peligros[oa]|not touching)\b",
        "other_trade": r"\b(plumber|electrician|other trade|another trade|gas company|house wiring|"
                       r"panel in the house|plomero|electricista)\b",
        "beyond_repair": r"\b(beyond|not worth|new (one|machine|unit)|scrap|junk|totaled|done for|too far gone|"
                     r"replace the (whole )?(machine|unit)|condemn\w*)\b",
        "fixed_already": r"\b(fixed already|already (fixed|works?|working|done)|works now|"
                         r"was (just )?(unplugged|off|the breaker)|fixed itself|ya funciona)\b",
        "go_on": r"\b(go on|keep going|carry on|continue|never ?mind|changed (my|her|his|their) mind|"
                 r"lets finish|sigo)\b",
        "not_fixed": r"\b(not fixed|no fix|couldnt fix|come back|coming back|back tomorrow|another (day|time)|"
                     r"out of time|ran out|unfinished|no lo arregle)\b"},
    "closing": {
        "all_done": r"\b(all (done|good|set|of it|back|closed( up)?)|yes|yep|yeah|yea|ya|yup|done|closed up|"
                    r"back together|packed up|(panels?|covers?) (are |is |all )?(back )?on|everythings?|every thing|"
                    r"buttoned up|wrapped up|listo|todo|si|"
                    r"(nothing|no screws?|nothin) left( over| out| behind)?|"
                    r"tools? (are |is |all )?(in the (bag|box|van)|packed|away|counted))\b(?<!not done)(?<!nt done)",
        "not_yet": r"\b(not (yet|all|done|the|quite)|almost|nearly|still|hang on|missing|except|forgot|havent|one "
                   r"(more|sec|minute)|give me|gimme|putting|finishing|gotta|got to|falta)\b"},
    "held": {
        "held": r"\b(held|holding|still (works|working|good|going|fine|running)|no (trouble|problems?|"
                r"complaints?|callback|calls?)|good|fine|great|works|happy|bien)\b",
        "came_back": r"\b(came back|back again|again|failed|quit|same (thing|trouble|problem)|didnt hold|"
                     r"did not hold|broke|called back|otra vez)\b"},
    "callback": {
        "same_trouble": r"\b(same|again|still|yes|yep|yeah|igual|lo mismo|otra vez|never (stopped|fixed))\b",
        "other_trouble": r"\b(different|other|another|something else|nope|not the same|no,|new (thing|problem|"
                         r"trouble)|unrelated|otra cosa)\b"},
    "resume": {
        "take_up": r"\b(yes|yep|yeah|yup|taking (it|that)|take (it|that)( up| over)?|thats (it|the one|me)|"
                   r"i got it|on it|same (one|machine)|finishing|si)\b",
        "new_job": r"\b(no|nope|different|another|other (one|machine)|new (one|job)|not that|otra)\b"},
}
"""Kind of question -> value -> pattern; values that the question does not offer are handled where it is answered."""
_THINKING: Final = {"goes_ahead": WAYS["consent"]["yes"], "declines": WAYS["consent"]["no"],
                    "arrived": WAYS["waiting"]["arrived"]}
"""Who thought it over says yes or no as one who is asked the price, or the part is there already."""
_COMPILED: Final = {kind: {value: re.compile(way) for value, way in ways.items()}
                    for kind, ways in {**WAYS, "thinking": _THINKING}.items()}
_SAME: Final = re.compile(_AGAIN)
_DENIED: Final = re.compile(_NOT)
_HOLDS: Final = re.compile(_CURED)
_RUNNING: Final = re.compile(
    r"\bstill (running|washing|filling|spinning|drying|draining|going|ticking|cooling down|heating)\b|"
    r"\bwaiting (for|on)\b|\bloading\b|"
    r"\bhavent (run|tried|tested|started)\b|\bin the (rinse|wash|spin|dry) (now|still)|\bmin(ute)?s? (left|"
    r"to go|more)\b|\bhang on\b")
_BEING_TRIED: Final = re.compile(
    r"^\W*(?:(?:ok|okay|alright|im|i am|were|we are|just|now|still) )*"
    r"(?:running|trying|testing|starting|firing|washing|spinning|filling|heating|drying|doing|giving|putting|letting) "
    r"(?:it|her|him|one|a|an|that|this|the|another)\b(?! (?:works?|runs?|spins?|holds?|does))|"
    r"\b(?:ill|i will|gonna|going to|lemme|let me|lets|gotta|have to) (?:watch|see|wait|check|run|try|test|give|let)\b|"
    r"\blet(?:ting)? (?:it|her) (?:run|go|finish|fill|heat|cool|drain|dry|spin)\b|"
    r"\bgive (?:it|me|her) (?:a|an|few|\d+)\b")
"""'Running it', 'its running now, ill watch it'."""
_WELL_ALREADY: Final = re.compile(
    r"\b(?:works|fixed|perfect|like new|solved|cured|all good|no more|(?:is|its|all) gone|funciona)\b")
_ELSE: Final = re.compile(r"\b((?:heats?|power|flames?|airs?|lights?) (?:is |are )?gone|new|different|other|another|"
                          r"quit|dead(?! on)|like before|just like|now (its|the|it)|threw|problem|trouble|worse|"
                          r"slow)\b")
_NONE_LEFT: Final = re.compile(
    rf"\bno (more )?(leaks?|noise|drips?|codes?|smell|trips?|sparks?|water on|{_BURST})\b|\bno more {TROUBLES}\b")
_ENDED: Final = re.compile(
    rf"\b(?:quits?|stopped|stops)(?: (?:the|its|all|that))* {TROUBLES}\b|"
    rf"\b{TROUBLES} (?:has |have |all )?(?:stopped|quit)\b")
_GONE: Final = re.compile(
    rf"\W*(?:(?:yes|ye|yep|yeah|yup|ya|si|ok|its|it is|that|thats|the|all|both|{TROUBLES}|is|are|has|have|been|"
    r"completely|totally|and|n)\W+)*gone(?: (?:now|too|away|completely|as well|for good))*\W*")
_STILL_WELL: Final = re.compile(r"\bstill (cold|good|fine|dry|holding|works|working|running fine)\b")
_NOT_AGREED: Final = re.compile(
    r"\b(?:(?<!why )not(?! (?:cheap|bad|a problem|an issue|a big deal))|"
    r"isnt|hasnt|havent|hadnt|didnt|did not|wont|aint|never|nobody|no one|"
    r"neither|unless|except|until|only if|"
    r"before (?:he|she|they)|if (?:he|she|they|its|the))\b")
"""'Cust hasn't said yes yet', 'fine with it only if its under 100': nobody has agreed to the price as it is."""
_PAYER: Final = re.compile(
    r"\b(cust\w*|clientes?|clients?|owners?|lady|ladys|guy|homeowner|landlord|tenant|she|shes|he|hes|they|theyre|wife|husband)\b")
_STOPS: Final = re.compile(r"\b(stop\w*|trip\w*|leak\w*|shut\w*|click\w*|cut\w*)\b")
_WRONG_PART: Final = re.compile(
    r"\b((doesnt|dont|does not|didnt|wont) fit|wrong (part|one)|not the right (part|one)|no cabe)\b")
MOST_WORDS: Final = 16


def way_of(kind: str, text: str) -> str | None:
    """The value that the words of an answer fit, if they fit only one."""
    said = re.sub(r"['’]", "", text.lower())
    if len(said.split()) > MOST_WORDS or said.rstrip().endswith("?"):
        return None
    if kind == "proof":
        return _proof(said)
    fitting = [value for value, way in _COMPILED.get(kind, {}).items() if way.search(said)]
    if kind == "consent" and fitting == ["yes"] and _NOT_AGREED.search(said):
        return None
    if kind == "closing" and len(fitting) > 1:
        return "not_yet"  # 'not yet, still putting panels on'
    return fitting[0] if len(fitting) == 1 else None


def customer_agrees(text: str) -> bool:
    """Whether words tell, beside another thing, that whoever pays says yes: 'got one, cust is ok with it'."""
    said = re.sub(r"['’]", "", text.lower())
    return way_of("consent", text) == "yes" and _PAYER.search(said) is not None


def agrees_in_part(text: str) -> bool:
    """The same where one part of a line says so: 'customer agreed and its in'."""
    return any(customer_agrees(part) for part in _PARTS.split(text))


_PARTS: Final = re.compile(r"[,.;\n]|\s(?:and|n|so|then)\s", re.IGNORECASE)


def says_wrong_part(text: str) -> bool:
    """Whether words say that what was brought is not the part."""
    return _WRONG_PART.search(re.sub(r"['’]", "", text.lower())) is not None


def says_arrived(text: str) -> bool:
    """Whether words say that a part has come, whatever else they say."""
    said = re.sub(r"['’]", "", text.lower())
    waiting = _COMPILED["waiting"]
    return waiting["arrived"].search(said) is not None and waiting["not_yet"].search(said) is None


def _proof(said: str) -> str | None:
    """'Pumps out in a minute now' holds; 'still just hums' does not."""
    if _RUNNING.search(said) or (_BEING_TRIED.search(said) and not _WELL_ALREADY.search(said)):
        return "not_yet"
    cured, again, denied = (bool(way.search(said)) for way in (_HOLDS, _SAME, _DENIED))
    none_left = _NONE_LEFT.search(said) is not None
    if _GONE.fullmatch(said):
        return "holds"
    if _ENDED.search(said) and not (again or denied):
        return "holds"
    if cured and not denied and {m.group() for m in _SAME.finditer(said)} == {"again"}:
        return None if _ELSE.search(said) or _STOPS.search(said) else "holds"
    if again and not none_left and not _STILL_WELL.search(said):
        return "same" if not re.search(r"\bbut\b|\bnow\b|\bnew\b", said) else None
    besides = _NONE_LEFT.sub(" ", said)  # 'wont light, no whoomp' denies more than the sound
    unlike = _DENIED.search(besides) or (none_left and "just" in besides.split())
    if cured and not unlike and not _ELSE.search(said):
        return "holds"
    return None
