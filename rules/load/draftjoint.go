package load

import (
	"path"
	"strings"
)

// JointFiles gives the folder of a new joint kind that works as it stands: what it is, two
// looks, three causes to start from (the seal, the faces, and "not this joint") and a solved
// case of each. The author puts better ones in their place. Kind is not used: the kind is the
// new one.
func (d Draft) JointFiles() ([]NewFile, error) {
	if err := checkNames(d.ID, d.ID); err != nil {
		return nil, err
	}
	with := strings.NewReplacer(
		"ID", d.ID, "CASEKIND", strings.ReplaceAll(d.ID, "-", "_"), "TITLE", quoteText(d.Title), "WORKS", quoteText(d.WorksBy), "FAILS", quoteText(d.FailsBy),
		"LOOKS", quoteText(d.LooksLike), "HELD", d.HeldBy, "SOURCE", quoteText(d.Source), "STANDING", d.Standing)
	var out []NewFile
	for _, f := range jointDrafts {
		out = append(out, NewFile{path.Join(d.ID, strings.ReplaceAll(f.Name, "ID", d.ID)), with.Replace(f.Text)})
	}
	return out, nil
}

var jointDrafts = []NewFile{
	{"joint.yaml", `joint: ID
title: TITLE
case kind: CASEKIND
held by: [HELD]
looks like: LOOKS
works by: WORKS
fails by: FAILS
order: [ID-dust, ID-look]
reassembly:
  - {do: "Clean both faces and look at them along a straight edge, under a lamp from the side.", stage: opened, minutes: 5}
  - {do: Fit a new seal., stage: opened, minutes: 5}
have ready: [a new seal]
open minutes: 10
shut minutes: 10
source: SOURCE
standing: STANDING
`},
	{"facts.yaml", `fact: ID-dark-above
ask: "Cleaned and dusted: does the first dark spot come above this joint and run down to it?"
answer: yes-no
for: [ID]
stage: outside
minutes: 15
why: Most wet joints are only the place where the drops fall off.
source: SOURCE
standing: STANDING
---
fact: ID-seal-hurt
ask: Is the seal cut, cracked, flattened or hard?
answer: yes-no
for: [ID]
stage: opened
minutes: 3
source: SOURCE
standing: STANDING
---
fact: ID-face-hurt
ask: Is there a mark, a pit or old material where the seal sits?
answer: yes-no
for: [ID]
stage: opened
minutes: 3
source: SOURCE
standing: STANDING
`},
	{"checks.yaml", `check: ID-dust
title: Clean, dry and dust it, and wait for the first dark spot
kind: look
for: [ID]
fills: [ID-dark-above]
stage: outside
minutes: 15
needs: [cold, stopped]
how: Wipe it clean and dry, above it too, dust it with chalk, and watch where the chalk first goes dark.
se: 85 %
sp: 90 %
source: SOURCE
standing: STANDING
---
check: ID-look
title: Look at the seal and at its faces
kind: look
for: [ID]
fills: [ID-seal-hurt, ID-face-hurt]
stage: opened
minutes: 5
needs: [cold, pressure-zero, stopped]
how: Before anything is wiped, under a lamp from the side, all the way round.
se: 85 %
sp: 90 %
source: SOURCE
standing: STANDING
`},
	{"remedies.yaml", `remedy: ID-new-seal
title: Fit a new seal
kind: new-seal
minutes: 10
success: 90 %
opens: yes
parts: [a new seal]
how: Clean, look at both faces, fit the new seal as its kind wants.
source: SOURCE
standing: STANDING
---
remedy: ID-dress-face
title: Clean and dress the face
kind: dress
minutes: 25
success: 80 %
opens: yes
parts: [a new seal]
how: Take old material off without scratching, dress a raised mark flush, and fit a new seal.
limit: A pit or a mark across the sealing band that stays is work for a machine shop.
source: SOURCE
standing: STANDING
---
remedy: ID-find-source
title: Find the joint above that leaks
kind: locate
minutes: 15
success: 90 %
how: Clean, dry and dust all that lies above, and follow the first dark spot.
source: SOURCE
standing: STANDING
`},
	{"causes/ID-seal-spent.yaml", `# Of a hundred leaks of this kind, how many have this cause? The shares of all causes of the kind add up to 100 %.
cause: ID-seal-spent
title: The seal is spent or was hurt
for: ID
means: The seal is cut, cracked, flattened or gone hard.
family: seal_aged_or_set
share: {after-refit: 45 %, back-in-weeks: 45 %, long-service: 60 %, disturbed: 50 %}
signs:
  - {when: wet-onset is after-first-heats, shows: 40 %}
found by:
  - {check: ID-look, when: ID-seal-hurt is yes}
remedies: [ID-new-seal]
stop-gap: {allowed: no}
prevent: A new seal at each opening.
if ignored: It gets worse, slowly or all at once.
looks like:
  - {cause: ID-face-marked, split by: ID-look, says: A whole seal on a marked face - the face.}
source: SOURCE
standing: STANDING
`},
	{"causes/ID-face-marked.yaml", `cause: ID-face-marked
title: The face is marked or not clean
for: ID
means: Where the seal sits there is a mark, a pit or old material.
family: face_or_bore_defect
share: {after-refit: 35 %, back-in-weeks: 35 %, long-service: 20 %, disturbed: 30 %}
signs:
  - {when: wet-onset is at-once, shows: 70 %}
found by:
  - {check: ID-look, when: ID-face-hurt is yes}
remedies: [ID-dress-face]
stop-gap: {allowed: no}
prevent: Scrapers of wood or plastic; a lamp from the side before it is closed.
if ignored: Every new seal leaks at the same place.
looks like:
  - {cause: ID-seal-spent, split by: ID-look, says: A hurt seal on a clean face - the seal.}
source: SOURCE
standing: STANDING
`},
	{"causes/ID-from-above.yaml", `cause: ID-from-above
title: It comes from above
for: ID
elsewhere: yes
means: The joint is tight; it is wet from another joint above.
family: elsewhere
share: {after-refit: 20 %, back-in-weeks: 20 %, long-service: 20 %, disturbed: 20 %}
signs:
  - {when: wet-amount is stain, shows: 25 %}
found by:
  - {check: ID-dust, when: ID-dark-above is yes}
remedies: [ID-find-source]
stop-gap: {allowed: no}
prevent: Find the place before anything is opened.
if ignored: A good joint is opened for nothing.
looks like:
  - {cause: ID-seal-spent, split by: ID-dust, says: The first dark spot at the joint itself - the seal.}
source: SOURCE
standing: STANDING
`},
	{"cases/first.yaml", `case: ID-hard-seal
for: ID
cause: ID-seal-spent
looks like: ID-face-marked
stage: opened
history: long-service
story: Invented, to start from. Put a case of your own in its place.
given: {ID-seal-hurt: yes, ID-face-hurt: no, ID-dark-above: no}
source: invented
standing: estimate
---
case: ID-scraped-face
for: ID
cause: ID-face-marked
looks like: ID-seal-spent
stage: opened
history: after-refit
story: Invented, to start from. Put a case of your own in its place.
given: {ID-seal-hurt: no, ID-face-hurt: yes, ID-dark-above: no}
source: invented
standing: estimate
---
case: ID-only-the-drip
for: ID
cause: ID-from-above
looks like: ID-seal-spent
stage: before-opening
history: long-service
story: Invented, to start from. Put a case of your own in its place.
given: {ID-dark-above: yes}
top: 1
source: invented
standing: estimate
`},
}
