// SPDX-License-Identifier: Apache-2.0

// Package scope answers what has to come apart to reach what, what that costs,
// what else is worth doing while it is apart, and when to start.
//
// Start with [Load], which reads a plan of one engine family, and
// [Plan.Estimate], which turns what is wanted into labour, parts and a total.
//
//	plan, err := scope.Load("v8.yaml", text)
//	e, err := plan.Estimate(scope.Request{Want: []string{"rod_bearings"}})
//	fmt.Println(e.Labour.Hours, e.Total)
//
// # The access graph
//
// An operation strips something and refits it later; it needs other operations
// to be done first. A piece of work has hours of its own and needs operations;
// it brings along the work that must go with it (its companions) and takes
// parts. The labour of a job is every operation that it needs once, strip and
// refit, and the hours of its work.
//
// Where several items need an operation, its hours are split equally among
// them. That is the Shapley value of the game whose cost is what a set of items
// needs, because every operation by itself is a game in which all who need it
// are alike ([Estimate.Wanted], [Item.Share]).
//
// # Dates
//
// [CriticalPath] is the classic method. [PERT] is a duration or a lead time
// from three figures. [Job.Dates] draws a job many times and finds the earliest
// start that keeps the chance of a vehicle waiting on the lift for a part under
// a limit. [Network.Schedule] puts activities of several jobs on few people and
// lifts; [WriteCalendar] writes what came out as iCalendar.
//
// # Limits of the model
//
// Durations and lead times are independent of each other. People are alike and
// work on one thing at a time. A part comes whole, and is at hand from the
// opening of the working day on which it comes.
//
// The package has no clock: every date comes from the caller. It reads no file.
//
// # Sources
//
// L. S. Shapley, A value for n-person games, Annals of Mathematics Studies 28
// (1953) 307-317; S. C. Littlechild and G. Owen, Management Science 20 (1973)
// 370-372, for the cost that is split equally among those who need it; J. E.
// Kelley, Operations Research 9 (1961) 296-320, for the critical path; D. G.
// Malcolm et al., Operations Research 7 (1959) 646-669, for three figures; R.
// Kolisch and S. Hartmann in J. Weglarz (ed.), Project Scheduling (1999)
// 147-178, for schedules on scarce resources. Cited from memory.
package scope
