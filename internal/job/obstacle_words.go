// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"strconv"
	"strings"

	"witnessmark/metrology"
)

// ObstacleView is an obstacle in words: what stands in the way, who can clear
// it and how.
type ObstacleView struct {
	Key      string `json:"key"`
	Code     Code   `json:"code"`
	Check    Check  `json:"check"`
	Position int    `json:"position,omitempty"`
	Mark     string `json:"mark"`  // ✕, ? or a count
	State    string `json:"state"` // out, unproven or todo: its colour and shape
	What     string `json:"what"`
	Who      string `json:"who"`
	How      string `json:"how"`
	Page     string `json:"page,omitempty"` // the page of the job that clears it
	Conceded string `json:"conceded,omitempty"`
	Refused  string `json:"refused,omitempty"`
	RestsOn  string `json:"rests_on,omitempty"` // "entries 12 and 14"
	// Concedable is false for what no concession can mend.
	Concedable bool `json:"concedable"`

	// Several says that the line stands for more than one obstacle.
	Several bool `json:"several,omitempty"`

	subject  string   // what it is about, within a sentence
	group    []int    // positions of a line that stands for several
	subjects []string // and what else it stands for
}

// who can clear an obstacle.
const (
	whoTechnician = "the technician"
	whoAnyone     = "anybody on the job"
	whoManager    = "a manager"
)

// phrase is how one code reads.
type phrase struct {
	what, how func(v *shower, o Obstacle) string
	who       string
	page      string
	state     string
}

func fixedWords(s string) func(*shower, Obstacle) string {
	return func(*shower, Obstacle) string { return s }
}

// phrases is the catalogue of obstacles; those of the plan stand in
// obstacle_scope.go.
var phrases = map[Code]phrase{
	NoSheet: {what: fixedWords("The job has no engine sheet, so nothing can be decided."),
		how: fixedWords("Adopt the sheet of this engine family."), who: whoTechnician, page: "sheet", state: stateTodo},
	NotRead: {what: func(v *shower, o Obstacle) string { return v.at(o) + " is not measured with the new shells." },
		how: fixedWords("Read the clearance as fitted."), who: whoTechnician, page: "position", state: stateTodo},
	NotProven: {what: func(v *shower, o Obstacle) string {
		return v.at(o) + v.of(o) + " reads " + v.value(*o.Clearance) + ": " + v.outside(*o.Clearance) + "."
	}, how: func(v *shower, o Obstacle) string { return v.settle(o) }, who: whoTechnician, page: "position", state: stateUnproven},
	TooWide: {what: func(v *shower, o Obstacle) string {
		return v.at(o) + v.of(o) + " is too wide: " + v.against(*o.Clearance) + "."
	},
		how: func(v *shower, o Obstacle) string {
			return v.excessNext(o) + " Otherwise an inspector can concede it."
		}, who: whoTechnician, page: "clearance", state: stateOut},
	TooTight: {what: func(v *shower, o Obstacle) string {
		return v.at(o) + v.of(o) + " is too tight: " + v.against(*o.Clearance) + "."
	}, how: func(v *shower, o Obstacle) string {
		return v.excessNext(o) + " Otherwise an inspector can concede it."
	}, who: whoTechnician, page: "clearance", state: stateOut},
	TaperOver: {what: func(v *shower, o Obstacle) string {
		return v.at(o) + " is tapered by " + v.length(abs(o.Clearance.Taper.ValueMM), 3) + " along the strip, more than the sheet allows or not proven to be less."
	}, how: fixedWords("Measure the journal front and rear with a micrometer."), who: whoTechnician, page: "position", state: stateUnproven},
	ReadUntightened: {what: func(v *shower, o Obstacle) string {
		return v.at(o) + " was read as fitted, but no full tightening of its cap was on record by then."
	}, how: fixedWords("Record the measuring tightening, then read again."), who: whoTechnician, page: "bolts", state: stateUnproven},
	NotUnderstood: {what: func(v *shower, o Obstacle) string {
		return v.at(o) + ": " + strings.Join(o.Items, "; ") + "."
	}, how: fixedWords("Correct the reading, or put its gauge into the tool register."), who: whoTechnician, page: "position", state: stateUnproven},
	Questionable: {what: func(v *shower, o Obstacle) string {
		return v.at(o) + ", " + list(o.Items) + ". It does not count yet."
	}, how: fixedWords("Correct the reading, or keep it by a correction that says why it is right."), who: whoTechnician, page: "record", state: stateUnproven},
	PartForm: {what: func(v *shower, o Obstacle) string {
		return "The " + ofWords[o.Of] + " of " + lower(v.at(o)) + " is " + list(o.Items) + " beyond what the sheet allows."
	}, how: fixedWords("Measure it again; then the route for a journal or a housing that is out of shape is the owner’s decision."), who: whoTechnician, page: "clearance", state: stateOut},
	Contradicted: {what: func(v *shower, o Obstacle) string {
		return v.at(o) + ": strip and parts say different clearances. " + sentence(list(o.Items))
	}, how: func(v *shower, o Obstacle) string {
		return "Repeat " + map[string]string{"strip": "the strip", "parts": "the parts"}[o.Of] + "."
	}, who: whoTechnician, page: "clearance", state: stateUnproven},
	ShellSuspect: {what: func(v *shower, o Obstacle) string {
		return v.half(o) + " " + o.what() + ": its journal is not yet " + list(o.Items) + "."
	}, how: fixedWords("Look at the journal, run a fingernail across it, and measure it."), who: whoTechnician, page: "journal", state: stateOut},
	JournalDamaged: {what: func(v *shower, o Obstacle) string {
		return "The journal of " + lower(v.at(o)) + " is damaged: " + list(o.Items) + "."
	}, how: fixedWords("Stop. Photograph it and agree the route with the owner; record what it looks like afterwards."), who: whoTechnician, page: "journal", state: stateOut},
	DebrisNotRead: {what: func(v *shower, o Obstacle) string { return "Debris not looked for in the " + list(o.Items) + "." },
		how: fixedWords("Cut the filter open and look into the sump; record what lies there, or none."), who: whoTechnician, page: "debris", state: stateTodo},
	DebrisMetal: {what: func(v *shower, o Obstacle) string {
		return "Metal was found, and these are not dealt with: " + list(o.Items) + "."
	}, how: fixedWords("Clean or renew each part of the oil circuit that the metal has been carried to."), who: whoTechnician, page: "debris", state: stateOut},
	ShellsMissing: {what: func(v *shower, o Obstacle) string { return v.at(o) + " has no shells fitted on record." },
		how: fixedWords("Record the shells with what was looked at."), who: whoTechnician, page: "shells", state: stateTodo},
	ShellsUnconfirmed: {what: func(v *shower, o Obstacle) string {
		return v.at(o) + ", shells fitted, but not confirmed: " + list(o.Items) + "."
	}, how: fixedWords("Look again and record the shells once more."), who: whoTechnician, page: "shells", state: stateUnproven},
	MeasuringIn: {what: func(v *shower, o Obstacle) string {
		return v.at(o) + " is still on its measuring tightening: " + v.lowerTitle(o) + " " + list(o.Items) + "."
	}, how: fixedWords("Fit the final bolts and tighten them through their stages."), who: whoTechnician, page: "bolts", state: stateTodo},
	BoltReused: {what: func(v *shower, o Obstacle) string {
		return v.bolts(o) + ": used again, although it had its use."
	}, how: fixedWords("Fit new ones and tighten them through their stages."), who: whoTechnician, page: "bolts", state: stateOut},
	BoltGrown: {what: func(v *shower, o Obstacle) string {
		return v.at(o) + ", " + v.lowerTitle(o) + " " + o.Items[0] + ": over its length, and used again: " + o.Items[1] + "."
	}, how: fixedWords("Fit a new bolt, measure it and tighten it through its stages."), who: whoTechnician, page: "clamp", state: stateOut},
	StageMissing: {what: func(v *shower, o Obstacle) string {
		if v.waits(o) {
			return v.bolts(o) + ": final stages missing; they wait for the wheels to be loaded."
		}
		return v.bolts(o) + ": final stages missing."
	}, how: func(v *shower, o Obstacle) string {
		if v.waits(o) {
			return "Let the vehicle down on its wheels and record it; then tighten through the stages of the sheet."
		}
		return "Tighten through the stages of the sheet and record each."
	}, who: whoTechnician, page: "bolts", state: stateTodo},
	StageOrder: {what: func(v *shower, o Obstacle) string {
		return v.bolts(o) + ": a stage out of order or done twice."
	}, how: fixedWords("Loosen, and tighten through the stages in order; single-use bolts are renewed."), who: whoTechnician, page: "bolts", state: stateOut},
	WheelsFree: {what: func(v *shower, o Obstacle) string {
		return v.title(o) + ": " + list(o.Items) + " while the record did not have the wheels loaded. The sheet has this fastener tightened only with the vehicle’s weight on its wheels."
	}, how: fixedWords("Let the vehicle down, record it, then loosen and tighten through the stages again; single-use bolts that had their angle are renewed. If it stood on its wheels and only the entry came late, an inspector can concede it."), who: whoTechnician, page: "bolts", state: stateOut},
	WitnessMissing: {what: func(v *shower, o Obstacle) string {
		return v.bolts(o) + ": no witness mark seen."
	}, how: fixedWords("Paint the mark across each head and record it in one walk round."), who: whoTechnician, page: "bolts", state: stateTodo},
	ToolOverdue: {what: func(v *shower, o Obstacle) string {
		return v.tool(o) + " was past its calibration date when it was used" + v.others(o) + "."
	}, how: fixedWords("Test it: inside its tolerance, what was done with it stands."), who: whoManager, page: "tools", state: stateUnproven},
	ToolRejected: {what: func(v *shower, o Obstacle) string {
		return v.tool(o) + " was tested outside its tolerance after it was used" + v.others(o) + "."
	}, how: fixedWords("Do what was done with it again, with a tool that is in order."), who: whoTechnician, page: "bolts", state: stateOut},
	ToolUnknown: {what: func(v *shower, o Obstacle) string {
		return "Tool " + o.Of + " is not in the register" + v.others(o) + "."
	}, how: fixedWords("Put it into the tool register, or correct the entries that name it."), who: whoManager, page: "tools", state: stateTodo},
	TraceOdd: {what: func(v *shower, o Obstacle) string {
		at := "The trace " + o.Of
		if o.Items[0] != "" {
			at = v.at(o) + ", " + v.lowerTitle(o) + " " + o.Items[0] + ": its trace"
		}
		return at + " is odd: " + o.Items[1] + "."
	}, how: fixedWords("Look at the bolt, its thread and its seat; write down what was found, or loosen, renew and tighten again."), who: whoTechnician, page: "traces", state: stateOut},
	CureShort: {what: func(v *shower, o Obstacle) string {
		return v.title(o) + ": oil came before " + o.Items[0] + " had cured for " + o.Items[1] + "."
	}, how: fixedWords("Take it apart, clean and seal it again, and let it cure before oil is filled."), who: whoTechnician, page: "bolts", state: stateOut},
	ToolRange: {what: func(v *shower, o Obstacle) string {
		return v.tool(o) + " was used outside its range" + v.others(o) + ": " + list(o.Items) + "."
	}, how: fixedWords("Do the stage again with a tool whose range has the torque; single-use bolts that had their angle are renewed."), who: whoTechnician, page: "bolts", state: stateOut},
	SettingMissing: {what: func(v *shower, o Obstacle) string { return o.Title + v.atSetting(o) + " is not recorded." },
		how: fixedWords("Make the setting and record what was read."), who: whoTechnician, page: "settings", state: stateTodo},
	SettingOut: {what: func(v *shower, o Obstacle) string {
		return o.Title + v.atSetting(o) + " is out of its limits: " + o.Items[0] + ", allowed " + o.Items[1] + "."
	}, how: fixedWords("Set it again and record what was read."), who: whoTechnician, page: "settings", state: stateOut},
	SettingNotProven: {what: func(v *shower, o Obstacle) string {
		return o.Title + v.atSetting(o) + " is too near its limit to be proven: " + o.Items[0] + ", allowed " + o.Items[1] + "."
	}, how: fixedWords("Read it with a finer gauge, or set it nearer to the middle."), who: whoTechnician, page: "settings", state: stateUnproven},
	LookMissing: {what: fixedWords("The last look inside is not on record."),
		how: fixedWords("Look: nothing left in, tools and rags counted, passages open and oiled."), who: whoTechnician, page: "close", state: stateTodo},
	LookUnconfirmed: {what: func(v *shower, o Obstacle) string { return "Last look inside, not confirmed: " + list(o.Items) + "." },
		how: fixedWords("Look again and record it once more."), who: whoTechnician, page: "close", state: stateUnproven},
	Unchecked: {what: func(v *shower, o Obstacle) string {
		return "Nobody has held these values of the engine sheet against their source: " + list(o.Items) + "."
	}, how: fixedWords("Compare them with the source, mark them checked and adopt the sheet again."), who: whoManager, page: "sheet", state: stateUnproven},
	PhotoMissing: {what: func(v *shower, o Obstacle) string {
		if o.Title != "" {
			return "Photo missing, " + o.Title + ": " + places(o.Items) + "."
		}
		return "Photo missing: " + places(o.Items) + "."
	},
		how: fixedWords("Take it with the entry that it belongs to."), who: whoTechnician, page: "position", state: stateTodo},
	RunMissing: {what: func(v *shower, o Obstacle) string {
		w := sentence(stepTitle(o.Of))
		if len(o.Items) > 0 {
			return strings.TrimSuffix(w, ".") + ": " + list(o.Items) + "."
		}
		return strings.TrimSuffix(w, ".") + ": not on record."
	}, how: fixedWords("Do it and record it."), who: whoTechnician, page: "run", state: stateTodo},
	RunFailed: {what: func(v *shower, o Obstacle) string { return sentence(stepTitle(o.Of) + " was not in order") },
		how: fixedWords("Find out why, mend it, and record the step again."), who: whoTechnician, page: "run", state: stateOut},
	RunOut: {what: func(v *shower, o Obstacle) string {
		return sentence(stepTitle(o.Of) + " is out of its limits: " + o.Items[0] + ", allowed " + o.Items[1])
	}, how: fixedWords("Stop the engine, find out why, and record the step again."), who: whoTechnician, page: "run", state: stateOut},
	NoteOpen: {what: func(v *shower, o Obstacle) string {
		return "The note of " + strings.ReplaceAll(o.Of, "-", " ") + " is not resolved."
	}, how: fixedWords("Say how it was resolved."), who: whoAnyone, page: "record", state: stateTodo},
	ArrivalMissing: {what: fixedWords("The condition on arrival is not on record."),
		how: fixedWords("Record odometer, noises, leaks and faults as they were."), who: whoAnyone, page: "arrival", state: stateTodo},
	OldPartsMissing: {what: fixedWords("It is not on record what became of the old parts."),
		how: fixedWords("Show them to the owner; then say whether they were kept, returned or scrapped."), who: whoAnyone, page: "handover", state: stateTodo},
	UnknownEntry: {what: func(v *shower, o Obstacle) string {
		return "The record holds an entry that this version does not know: " + o.Title + "."
	}, how: fixedWords("Open the job with the version that wrote it."), who: whoManager, page: "record", state: stateUnproven},
}

// The states of a mark: never colour alone, so each has a shape and a word.
const (
	stateFits     = "fits"
	stateOut      = "out"
	stateUnproven = "unproven"
	stateTodo     = "todo"
)

var refusals = map[string]string{
	RefusedLapsed:    "a concession has lapsed, because what it rested on has changed",
	RefusedSame:      "a concession does not count: it is by somebody who did the work",
	RefusedRole:      "a concession does not count: it is by neither an inspector nor a manager",
	RefusedSignature: "a concession does not count: the owner's signature is missing",
	RefusedUnknown:   "a concession does not count: the workshop does not know the person",
}

// Words puts one obstacle of an assessment into words.
func Words(o Obstacle, a Assessment, s State, b Basis, voice Voice) ObstacleView {
	return (&shower{a: a, s: s, basis: b, voice: voice}).obstacle(o)
}

// obstacle puts an obstacle into words.
func (v *shower) obstacle(o Obstacle) ObstacleView {
	p := phrases[o.Code]
	w := ObstacleView{Key: o.Key, Code: o.Code, Check: o.Check, Position: o.Position, State: p.state, Who: p.who, Page: p.page,
		What: p.what(v, o), How: p.how(v, o), RestsOn: entriesWords(o.RestsOn), Concedable: o.Code != NoSheet}
	w.Mark = map[string]string{stateOut: "✕", stateUnproven: "?", stateTodo: "–"}[p.state]
	w.subject = lower(v.title(o))
	if o.Code == RunMissing {
		w.subject = strings.TrimSuffix(lower(w.What), ": not on record.")
	}
	if page := photoPage(v.basis, o); o.Code == PhotoMissing && page != "" {
		w.Page = page
	}
	v.play(&w, o)
	if o.Conceded != nil {
		w.Conceded = v.concession(*o.Conceded)
	}
	w.Refused = sentence(refusals[o.Refused])
	return w
}

func (v *shower) concession(c Noted[Conceded]) string {
	w := "Conceded by " + v.person(c.At.Person) + ": " + strings.TrimSuffix(c.Body.Reason, ".") + "."
	if v.basis.Workshop.One() {
		w += " No second person looked."
	}
	return w
}

func entriesWords(seqs []int64) string {
	if len(seqs) == 0 {
		return ""
	}
	words := make([]string, len(seqs))
	for i, s := range seqs {
		words[i] = fmt.Sprint(s)
	}
	if len(seqs) == 1 {
		return "entry " + words[0]
	}
	return "entries " + list(words)
}

func (v *shower) at(o Obstacle) string {
	if o.Position == 0 {
		return v.title(o)
	}
	if o.Of == OfSideClearance && len(o.Others) > 0 && v.basis.Sheet != nil {
		p, _ := v.basis.Sheet.Position(o.Position)
		return "Throw " + strconv.Itoa(p.Throw)
	}
	return "Position " + positionName(o.Position, o.Cylinder)
}

func (v *shower) atSetting(o Obstacle) string {
	if o.Position == 0 {
		return ""
	}
	return ", position " + positionName(o.Position, o.Cylinder) + ","
}

func (v *shower) of(o Obstacle) string {
	if w, ok := ofWords[o.Of]; ok && o.Position != 0 {
		return ", " + w + ","
	}
	return ""
}

func (v *shower) title(o Obstacle) string {
	if o.Title != "" {
		return o.Title
	}
	if w, ok := ofWords[o.Of]; ok {
		return sentence(w)[:len(w)]
	}
	return o.Of
}

// bolts names the fasteners that an obstacle is about: "Position 4 (B2), rod
// bolt a and b" or "Sump bolt, all".
func (v *shower) bolts(o Obstacle) string {
	if o.Position == 0 {
		return v.title(o) + ", " + list(o.Items)
	}
	return v.at(o) + ", " + v.lowerTitle(o) + " " + list(o.Items)
}

func (v *shower) lowerTitle(o Obstacle) string { return lower(v.title(o)) }

func (v *shower) tool(o Obstacle) string {
	if o.Title == "" {
		return "Tool " + o.Of
	}
	return o.Title + " " + o.Of
}

func (v *shower) others(o Obstacle) string {
	if len(o.Others) == 0 {
		return ""
	}
	return " on " + positions(o.Others)
}

func (v *shower) half(o Obstacle) string {
	return sentence(o.Of + " shell " + positionName(o.Position, o.Cylinder))[:len(o.Of+" shell "+positionName(o.Position, o.Cylinder))] + " is"
}

// what names the wear that makes a shell suspect.
func (o Obstacle) what() string { return o.Title }

// settle says what would settle a value that is not proven.
func (v *shower) settle(o Obstacle) string {
	c := *o.Clearance
	switch {
	case c.Contradicted:
		return "Strip and measured parts say different clearances: repeat the one that the page of the clearance names."
	case c.Study != nil && c.Study.Verdict == metrology.Within && len(c.Readings) < 2:
		return "It would fit but for the spread that the gauge study found. A second strip may settle it, then journal and shells with a better gauge."
	case !c.Agree:
		return "Its readings do not agree. Read again with a fresh strip; then measure the parts."
	case c.Side != "":
		return "It is at the end of the gauge's scale. Read it with the gauge of the next range."
	case len(c.Readings) < 2:
		return "A second strip may settle it, then journal and shells with a better gauge."
	}
	return "Measure journal, bore and shells with a better gauge."
}

func stepTitle(step string) string {
	return map[string]string{
		StepPrime: "priming, with starting disabled until there is pressure", StepFirstStart: "first start",
		StepPressureCold: "oil pressure cold", StepPressureHot: "oil pressure hot", StepHeatCycle: "heat cycle",
		StepLeakCheck: "leak check", StepLevel: "oil level",
	}[step]
}

func lower(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

func abs(x float64) float64 { return max(x, -x) }

// verdictWords are the words of a verdict on a clearance.
func verdictWords(c *Clearance) (word, state string) {
	if c == nil {
		return "not measured", stateTodo
	}
	switch c.Decision.Verdict {
	case metrology.Within:
		return "fits", stateFits
	case metrology.Above:
		return "too wide", stateOut
	case metrology.Below:
		return "too tight", stateOut
	}
	return "not proven", stateUnproven
}
