// SPDX-License-Identifier: Apache-2.0

package job

import (
	"maps"
	"strings"
)

// scopePhrases are the obstacles of parts, special tools and the plan.
var scopePhrases = map[Code]phrase{
	PartMissing: {what: func(_ *shower, o Obstacle) string {
		return "Part not in hand: " + o.Items[0] + " × " + lower(o.Title) + "."
	},
		how: fixedWords("Record it when it comes, or as fitted."), who: whoAnyone, page: "parts", state: stateTodo},
	PartQuestioned: {what: func(_ *shower, o Obstacle) string {
		return o.Title + ": the number on it is " + o.Items[0] + ", expected " + o.Items[1] + "."
	}, how: fixedWords("Look again. If it is the right part, say why; if not, send it back."), who: whoTechnician, page: "parts", state: stateUnproven},
	PartDates: {what: func(_ *shower, o Obstacle) string {
		return o.Title + ": " + o.Items[0] + ", before it was ordered on " + o.Items[1] + "."
	}, how: fixedWords("One of the dates is wrong: enter the promise again, or correct the entry."), who: whoAnyone, page: "parts", state: stateUnproven},
	PartLeft: {what: func(_ *shower, o Obstacle) string {
		return o.Items[0] + " × " + lower(o.Title) + " came and is neither fitted nor returned on record."
	}, how: fixedWords("Record it as fitted, or send it back."), who: whoAnyone, page: "parts", state: stateTodo},
	ToolNotBack: {what: func(_ *shower, o Obstacle) string { return sentence(o.Title + " is borrowed and not given back") },
		how: fixedWords("Give it back and record it."), who: whoAnyone, page: "special", state: stateTodo},
	OperationOff: {what: func(_ *shower, o Obstacle) string { return "Still apart by the record: " + lower(o.Title) + "." },
		how: fixedWords("Put it back and record it."), who: whoTechnician, page: "refit", state: stateTodo},
	RefitUnproved: {what: func(_ *shower, o Obstacle) string { return o.Title + ": not proved are " + semicolons(o.Items) + "." },
		how: fixedWords("Tighten through its stages, mark it, and record it in one walk round under the car."), who: whoTechnician, page: "refit", state: stateTodo},
	SteeringUnchecked: {what: func(_ *shower, o Obstacle) string {
		return "Steering was disturbed and not checked: " + semicolons(o.Items) + "."
	}, how: fixedWords("Check the alignment and write the result down, or say why none is needed."), who: whoTechnician, page: "refit", state: stateTodo},
	ResetMissing: {what: func(_ *shower, o Obstacle) string { return "Not set anew: " + semicolons(o.Items) + "." },
		how: fixedWords("Do the adaptation or reset and record it."), who: whoTechnician, page: "refit", state: stateTodo},
	FaultsUnread: {what: fixedWords("Stored faults were not read since the last thing was taken off or put back."),
		how: fixedWords("Read the control units; record what is stored, or none."), who: whoTechnician, page: "refit", state: stateTodo},
	FaultsStored: {what: func(_ *shower, o Obstacle) string { return "Faults are stored: " + o.Items[0] + "." },
		how: fixedWords("Find out why, put it right, clear them and read again."), who: whoTechnician, page: "refit", state: stateOut},
	AuthorityMissing: {what: fixedWords("Work was done on an estimate that the owner did not agree to."),
		how: fixedWords("Record the owner's authority, as it was given."), who: whoAnyone, page: "agree", state: stateUnproven},
	OverCeiling: {what: func(_ *shower, o Obstacle) string {
		return "What was done comes to " + o.Items[0] + ", more than the owner agreed to: up to " + o.Items[1] + "."
	}, how: fixedWords("Raise the difference as a change and record the answer, or take it off the bill and concede."), who: whoAnyone, page: "agree", state: stateOut},
	CurrencyMixed: {what: func(_ *shower, o Obstacle) string {
		return "What the owner agreed to is in " + o.Items[0] + ", the plan in " + o.Items[1] + ": the amounts can't be held against each other."
	}, how: fixedWords("Agree the amount in the currency of the plan, and record it."), who: whoAnyone, page: "agree", state: stateUnproven},
	ChangeOpen: {what: func(_ *shower, o Obstacle) string {
		return "The owner was not asked about a change: " + lower(o.Title) + "."
	},
		how: fixedWords("Ask, and record the answer with its amount, or that it is not wanted."), who: whoAnyone, page: "agree", state: stateUnproven},
	WorkBeyond: {what: func(_ *shower, o Obstacle) string { return "Done, and not in the agreed work: " + lower(o.Title) + "." },
		how: fixedWords("Ask the owner and record the answer; work without authority is not charged for."), who: whoAnyone, page: "account", state: stateUnproven},
}

func init() { maps.Copy(phrases, scopePhrases) }

func semicolons(items []string) string { return strings.Join(items, "; ") }
