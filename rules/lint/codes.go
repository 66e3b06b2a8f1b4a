package lint

// Code is one kind of finding: what it means and what to do about it.
type Code struct {
	Name    string
	Warning bool // doubtful, not wrong: the knowledge base can be used
	Text    string
}

// Codes lists all kinds of findings, sorted by name: those of reading, of conditions, of
// answers and of lint itself.
func Codes() []Code { return codes }

// Explain finds a kind of finding by its name.
func Explain(name string) (Code, bool) {
	for _, c := range codes {
		if c.Name == name {
			return c, true
		}
	}
	return Code{}, false
}

func warns(name string) bool {
	c, _ := Explain(name)
	return c.Warning
}

var codes = []Code{
	{"always-false", false, "No combination of answers makes this condition true: it asks for two answers that exclude each other, or for a size below one limit and above a higher one. What hangs on it can never happen."},
	{"always-true", true, "Every combination of answers makes this condition true, so it says nothing. Take it out, or say what should be excluded."},
	{"anchor", false, "YAML lets one part of a file point at another with & and *. It is not read here: a reader should see every value where it stands, and a small file with anchors can unfold into a huge one. Write the value out. A text that happens to start with & or * goes in quotes."},
	{"bad-answer", false, "The answer of a solved case or of a rule's test cannot be read against its fact. Write yes or no, the name of an option, a quantity with its unit, a clock position such as 4:30, or a list of readings."},
	{"bad-choice", false, "This field takes one of a few words, and this is none of them. The hint names the nearest."},
	{"bad-conclusion", false, "One entry under then: concludes exactly one thing, such as - conclude: FACT is yes. A measured fact is computed, not concluded."},
	{"bad-duration", false, "Hands-on minutes are plain numbers; waiting times carry their unit, such as 24 h, because nobody should have to guess whether 24 means minutes, hours or days."},
	{"bad-id", false, "Names of documents and options are small letters, digits and hyphens: bore-oval, wet-on-one-side. They are the same in the file name, in conditions and in reports."},
	{"bad-number", false, "A plain number was expected, within the range that the message gives."},
	{"bad-percent", false, "A percentage lies between 0 % and 100 %. It is written as 30 % or 0.3; a bare 30 would be thirty times the whole."},
	{"bad-quantity", false, "A quantity is a number with its unit: 0.05 mm, 2 bar, 40 N m. A comma with three digits after it is refused, because it may be a decimal comma or thousands."},
	{"check-does-not-fill", false, "A cause says that a check decides it and names the fact that the check gives, but the check does not fill this fact, nor does any rule lead from what it fills to it. The plan would propose a check that cannot answer."},
	{"comma-cut", false, "Inside braces and brackets a comma ends the text. Put the text in quotes: {id: drop, title: \"a drop forms, none falls\"}."},
	{"condition-syntax", false, "A condition is FACT is OPTION, FACT is not OPTION, FACT is one of (A, B), FACT < 0.05 mm, FACT is between 1 mm and 2 mm; joined by and, or, not and brackets."},
	{"condition-too-deep", false, "Brackets within brackets, too deep to be read by anyone. Let one rule conclude a fact and another read it."},
	{"condition-too-long", false, "The condition is too long to be read by anyone. Let one rule conclude a fact and another read it."},
	{"contradiction", false, "Two rules give one fact two different values, and whenever one of them fires the other fires too. The fact would always count as unknown. Tell the two apart in their conditions."},
	{"cut-text", false, "In YAML a # after a space starts a remark, so \"bolt #3\" loses its tail without a word. Put the text in quotes."},
	{"duplicate-id", false, "Two documents of one kind bear the same name, so nobody could tell which is meant. Facts, checks, remedies and rules are shared by all joint kinds; causes and cases only have to differ within their kind."},
	{"duplicate-key", false, "A name stands twice in one document. YAML would silently keep one of the two."},
	{"empty-answer", false, "A fact stands in a case without an answer. Write the answer, cant-tell or cant-get-at, or take the line out."},
	{"empty-file", false, "The file holds no document. Perhaps it was saved before it was written."},
	{"empty-range", false, "No value lies in this range: the lower limit is above the upper one, or a fact is compared with itself."},
	{"file-name", false, "A cause or a rule stands alone in its file, and the file is called like it: bore-oval.yaml holds cause: bore-oval, and the tests of the rule oval-bore are in oval-bore_test.yaml. So everyone finds it by its name."},
	{"fill-in", false, "The file was made by kb new and this place still waits for you. The line above it says what to write; lines that do not apply may be taken out."},
	{"implausible-answer", true, "The answer lies outside the least and most that its fact allows. Usually the unit or the decimal mark is wrong."},
	{"incomplete-cause", false, "A cause must help the person who has it: a share, signs, remedies, a stop-gap (or the word that there is none), how to prevent it, and what happens if it is ignored. A shared cause also names the joints it acts on."},
	{"joined-line", false, "A dash that stands deeper than the dashes above it does not start an item: YAML joins the line to the text above."},
	{"leading-zero", false, "Some readers of YAML take 010 for eight. Write numbers without leading zeros."},
	{"missing-field", false, "A field that every document of this kind needs is not there."},
	{"missing-input", false, "A calculation lacks an input without which it cannot run."},
	{"needs-limit", false, "A quantity cannot be yes or no. Compare it with a limit: FACT < 0.05 mm."},
	{"never-fires", true, "The condition reads a fact that is never asked and that no rule concludes or computes, and cannot become true without it."},
	{"no-better-than-chance", false, "Sensitivity and specificity that add up to 100 % or less say nothing, or say the opposite. One of the two is mistyped."},
	{"no-case", true, "No solved case shows that this cause is found from what a fitter would have. Without one, nobody notices when a change breaks it."},
	{"no-check", true, "No check decides this cause, and no rule finds it. A person is told how likely it is and never how to make sure, so the plan can only open and hope. Even a dear check is better than none: what shows it on the bench."},
	{"no-limit", false, "A temporary measure is always shown with its limit: how far and how long it may be trusted. Without one it must not be offered."},
	{"no-source", true, "Every figure names its published source, or says that it is common practice, from memory or an estimate. A reader must be able to see how far to trust it."},
	{"no-state", false, "Every check says which state it needs before hands go near: cold, pressure-zero, stopped, load-blocked, pressurised, running, hot, or any for a look that is safe in every state. The plan shows the cautions of that state before the check."},
	{"not-a-quantity", false, "Only quantities can be compared with a limit. Let a rule compute a quantity from readings first."},
	{"not-a-sign", false, "A sign is one answer to one question: FACT is yes, or FACT is OPTION. Combinations belong under more likely, or into a rule that concludes a fact of its own; a size needs a rule that gives a verdict."},
	{"not-text", false, "The file holds bytes that are not text in UTF-8. It may have been saved in another encoding, or is no text file at all."},
	{"nothing-provides", true, "A fact that is never asked is read, but no rule concludes or computes it, so it stays unknown for ever."},
	{"nothing-splits", true, "Two causes that look the same: no sign shows at clearly different rates, and the same answers decide both; or the check that is named to split them gives nothing that either of them reads. However much is asked, they stay side by side. If there is really no difference, also in the cure, make one cause of the two."},
	{"number-id", false, "A name that is a number changes on its way: 1.10 becomes 1.1, 010 becomes eight. Use words."},
	{"option-both-ways", false, "An answer says of one option both that it was seen and that it was not."},
	{"over-whole", true, "Of a choice only one answer can be true, so the chances of its answers add up to at most 100 % for one cause. More is scaled down."},
	{"overlay-conflict", false, "Two folders that are laid over the knowledge base touch the same field, or both bring the same document. Say which comes last: the later folder writes after: FOLDER."},
	{"overlay-missing", false, "An overlay changes, replaces or removes a document that is not there, or brings one that is there already without saying replace."},
	{"overlay-only", false, "amend, replace, remove and after belong into a folder that is laid over another knowledge base with --kb. In the first knowledge base there is nothing to change."},
	{"overlay-order", false, "A folder says that it comes after another that is not given, comes later, or comes after it in turn."},
	{"read-twice", false, "Two signs of one cause rest on the same observation, perhaps through a rule. One answer would count twice and make the cause look surer than it is. Keep the sign that says more."},
	{"rule-loop", false, "A chain of rules leads from a fact back to itself. Such conclusions would hold one another up even after the answer that started them was withdrawn."},
	{"rule-tests", true, "Beside a rule stands a file NAME_test.yaml with at least three cases: one where it fires, one where it is silent, one where it cannot say yet."},
	{"shadowed", true, "Whenever this rule fires, another rule fires too and concludes the same: it stands in the shadow of the wider one and adds nothing. Often a copy whose condition was to be changed and was not."},
	{"share-sum", false, "The shares of all causes of one joint kind and history are parts of one whole and add up to 98 to 102 %. Under an overlay they count as weights, and this is only a warning."},
	{"sign-and-context", false, "What was done or fitted is context; what is seen is a sign. A fact that is both for one cause would count twice."},
	{"symlink", false, "Links are not followed, since they may lead out of the folder or back into it. Put the file itself into the folder."},
	{"tag", false, "A word that starts with ! is a type to YAML, and disappears. Put the text in quotes."},
	{"too-deep", false, "Lists within lists beyond anything a knowledge base needs. Usually a bracket is never closed."},
	{"too-large", false, "The file, or the folder, is larger than any honest knowledge base. It was not read."},
	{"too-many", false, "More files, documents or mistakes than make sense. Is this the right folder?"},
	{"unknown-family", false, "The class of a cause is one of those of the collection of real cases, or elsewhere, or not_in_knowledge_base. It is used to compare the ranking with real cases."},
	{"unknown-field", false, "This kind of document has no such field. The hint names the nearest."},
	{"unknown-instrument", false, "An answer names an instrument that no document describes."},
	{"unknown-kind", false, "A document begins with its kind and its name: cause: bore-oval. The kinds are joint, cause, check, fact, remedy, target, caution, stop, rule, case, tests, instrument, estimates."},
	{"unknown-name", false, "A document is named that does not exist. The hint gives the nearest names."},
	{"unknown-option", false, "The fact has no such answer. The hint gives the nearest, or all."},
	{"unreachable-cause", true, "This cause can never come up. Its share is nothing in every history, so no sign can raise it; or all the facts by which it would show itself are never known."},
	{"unreadable", false, "The file or folder cannot be opened. Check that it exists and that you may read it."},
	{"unused-fact", true, "A question whose answer nothing reads only costs time."},
	{"wrong-dimension", false, "A length is compared with a pressure, or a limit has no unit. Use a unit of the dimension of the fact."},
	{"wrong-instrument", false, "An answer names an instrument that does not measure this kind of quantity."},
	{"wrong-kind", false, "A document of one joint kind reads a fact, a check or a target that is only for other kinds, so it is never known there."},
	{"wrong-type", false, "A list stands where a text belongs, or the other way round, or nothing at all."},
	{"yaml-syntax", false, "The file does not hold together as YAML. The place is where reading had to stop; the mistake is there or a line above: a missing quote, a colon inside a text, a tab, a wrong indentation."},
	{"yes-no-trap", false, "yes, no, on and off mean true and false to YAML and in conditions, so they cannot be names of options or documents."},
}
