// SPDX-License-Identifier: Apache-2.0

package api

import "net/http"

const (
	get  = http.MethodGet
	post = http.MethodPost
	put  = http.MethodPut
	del  = http.MethodDelete
)

// operations is everything there is on one screen: how it is asked for, who
// may, what it does. Which kind of entry a role may write is said by shop.May
// on top. A test walks the table with every role and with none.
var operations = []operation{
	{get, "/openapi.json", "schema", anybody, "This description", does((*server).describeSelf), option{sends: openType}},
	{post, "/tokens", "log-in", anybody, "Log in on a device with a name and PIN", does((*server).logIn), option{}},
	{post, "/setup", "set-up", anybody, "Make the first manager with the set-up code", does((*server).setUp), option{}},
	{get, "/me", "me", everybody, "Who asks, with which token", does((*server).me), option{}},
	{get, "/tokens", "list-tokens", everybody, "The devices that are logged in", does((*server).tokens), option{}},
	{del, "/tokens/{token}", "revoke-token", everybody, "End a token: one’s own, or anybody’s for a manager", does((*server).revoke), option{}},
	{get, "/workshop", "workshop", everybody, "The workshop with its settings and public key", does((*server).workshop), option{}},
	{get, "/changes", "changes", everybody, "What was kept in any log, waiting for it", does((*server).changes), option{}},

	{get, "/jobs", "list-jobs", everybody, "The list of jobs", does((*server).jobs), option{}},
	{post, "/jobs", "open-job", everybody, "Open a job", does((*server).openJob), option{}},
	{get, "/jobs/{job}", "job", everybody, "A job with its assessment, unrounded, and in words", does((*server).job), option{}},
	{get, "/jobs/{job}/film", "film", everybody, "The oil film of every position, unrounded, and in words", does((*server).film), option{}},
	{get, "/jobs/{job}/entries", "entries", everybody, "The entries as they are stored, a line each", does((*server).jobLines), option{sends: lineType}},
	{post, "/jobs/{job}/entries", "append", everybody, "Keep an entry", does((*server).propose), option{again: true}},
	{get, "/jobs/{job}/record", "record", everybody, "Every entry in words", does((*server).record), option{}},
	{get, "/jobs/{job}/parts", "parts", everybody, "The parts of a job, how far each has come", does((*server).parts), option{}},
	{get, "/jobs/{job}/dates", "dates", everybody, "When a job can start and how far it can go, unrounded", does((*server).dates), option{}},
	{get, "/jobs/{job}/labels.pdf", "labels", everybody, "A sheet of labels with codes for bags and bins", does((*server).labels), option{sends: pdfType}},
	{get, "/jobs/{job}/details", "details", everybody, "Details of the owner and the vehicle", does((*server).details), option{}},
	{post, "/jobs/{job}/details", "keep-details", everybody, "Keep details of the owner or the vehicle", does((*server).putDetails), option{again: true}},
	{get, "/jobs/{job}/notes", "notes", everybody, "The notes with their words", does((*server).notes), option{}},
	{post, "/jobs/{job}/notes", "add-note", everybody, "Keep a note", does((*server).addNote), option{again: true}},
	{get, "/jobs/{job}/photos", "photos", everybody, "The photos that entries show", does((*server).photos), option{}},
	{post, "/jobs/{job}/photos", "add-photo", everybody, "Keep a photo, for an entry to name", does((*server).addPhoto), option{limit: maxPhoto, made: true}},
	{get, "/jobs/{job}/photos/{photo}", "photo", everybody, "A photo, whole or small", does((*server).photoFile), option{sends: jpegType}},
	{post, "/jobs/{job}/traces", "add-traces", hands, "Keep a file of traces of a torque wrench", does((*server).addTraces), option{limit: maxTraces, again: true}},
	{post, "/jobs/{job}/concessions", "concede", hands, "Let an obstacle stand", does((*server).concede), option{again: true}},
	{get, "/jobs/{job}/erasures", "list-erasable", managers, "What is kept beside the record and can be erased", does((*server).erasables), option{}},
	{post, "/jobs/{job}/erasures", "erase", managers, "Erase what is personal beside the record, for good", does((*server).erase), option{again: true}},
	{get, "/jobs/{job}/handover", "handover", everybody, "What the handover rested on, and what differs now", does((*server).handover), option{}},
	{post, "/jobs/{job}/handover", "hand-over", hands, "Hand over", does((*server).handOver), option{again: true}},
	{post, "/jobs/{job}/seals", "seal", hands, "Sign the record as it stands", does((*server).seal), option{}},
	{get, "/jobs/{job}/verification", "verify", everybody, "Hold the record against its seals", does((*server).verify), option{}},
	{get, "/jobs/{job}/report.html", "report", everybody, "The printable report", does((*server).report), option{sends: htmlType}},
	{get, "/jobs/{job}/report.pdf", "report-pdf", everybody, "The report for paper", does((*server).pdf), option{sends: pdfType}},
	{get, "/jobs/{job}/account", "account", everybody, "The estimate beside what the job took", does((*server).account), option{}},
	{get, "/jobs/{job}/export/{paper}/{kind}", "export", everybody, "Estimate, parts list or account for a spreadsheet", does((*server).table), option{sends: "application/octet-stream"}},
	{get, "/jobs/{job}/estimate.pdf", "estimate-pdf", everybody, "The estimate for paper, to sign", does((*server).estimate), option{sends: pdfType}},
	{get, "/jobs/{job}/summary.pdf", "summary-pdf", everybody, "One side of paper for the owner", does((*server).summary), option{sends: pdfType}},
	{get, "/jobs/{job}/bundle.zip", "bundle", everybody, "The job with everything in it, for anyone to verify", does((*server).bundle), option{sends: zipType}},

	{get, "/sheets", "list-sheets", everybody, "The engine sheets", does((*server).sheets), option{}},
	{post, "/sheets", "add-sheet", managers, "Add an engine sheet", does((*server).addSheet), option{}},
	{get, "/sheets/{hash}", "sheet", everybody, "An engine sheet’s file as it came", does((*server).sheetFile), option{sends: yamlType}},
	{get, "/sheets/{hash}/blank.pdf", "blank-sheets", everybody, "Blank workshop sheets, for a day without tablets", does((*server).blank), option{sends: pdfType}},
	{get, "/tools", "list-tools", everybody, "The tool register", does((*server).tools), option{}},
	{get, "/tools/{tool}", "tool", everybody, "A tool with its history", does((*server).tool), option{}},
	{get, "/tools/{tool}/entries", "tool-entries", everybody, "A tool’s entries as they are stored", does((*server).toolLines), option{sends: lineType}},
	{post, "/tools/{tool}/entries", "append-tool", hands, "Add a tool, its calibration, test or end", does((*server).keepOnTool), option{again: true}},
	{get, "/jobs/{job}/pairing", "pairing", everybody, "The choice of shells as it would be now", does((*server).pairing), option{}},
	{get, "/stock", "list-stock", everybody, "The shells in stock, by batch", does((*server).stock), option{}},
	{post, "/stock/{batch}/entries", "append-stock", hands, "Add a batch; measure, bind, count or return its shells", does((*server).keepInStock), option{again: true}},
	{get, "/studies/{study}", "study", everybody, "A gauge study; its readings once all are read", does((*server).study), option{}},
	{post, "/studies/{study}/entries", "append-study", hands, "Begin a gauge study, or keep one blind reading", does((*server).keepInStudy), option{again: true}},
	{get, "/people", "list-people", managers, "The people of the workshop", does((*server).people), option{}},
	{post, "/people", "add-person", managers, "Add a person", does((*server).addPerson), option{}},
	{put, "/people/{person}/pin", "new-pin", managers, "Give a person a new PIN; their tokens end", does((*server).newPIN), option{}},
	{post, "/people/{person}/unlock", "unlock", managers, "Let a person try again after too many wrong PINs", does((*server).unlock), option{}},
	{put, "/people/{person}", "change-person", managers, "Give a person another name or role", does((*server).changePerson), option{}},
	{post, "/people/{person}/erasure", "erase-person", managers, "Erase the name of somebody who has left", does((*server).erasePerson), option{}},
	{post, "/people/{person}/leave", "leave", managers, "End a person’s access; what they recorded stays", does((*server).leave), option{}},
	{get, "/settings/entries", "settings-entries", managers, "The workshop’s own entries as they are stored", does((*server).workshopLines), option{sends: lineType}},
	{post, "/settings", "change-settings", managers, "Change the workshop’s settings", does((*server).changeSettings), option{again: true}},
	{get, "/plans", "list-plans", everybody, "The access plans", does((*server).plans), option{}},
	{get, "/plans/{hash}", "plan", everybody, "An access plan’s file as it came", does((*server).planFile), option{sends: yamlType}},
	{post, "/plans", "add-plan", everybody, "Add an access plan, for a job to adopt", does((*server).addPlan), option{}},
	{get, "/calendar", "calendar", everybody, "The open jobs on lifts and people", does((*server).calendar), option{}},
	{get, "/calendar.ics", "calendar-file", everybody, "That calendar as iCalendar", does((*server).calendarFile), option{sends: calendarType}},
	{post, "/calendar/feed", "new-feed", everybody, "An address of the calendar for a program that can’t log in", does((*server).newFeed), option{}},
	{del, "/calendar/feed", "end-feed", everybody, "End that address", does((*server).endFeed), option{}},
	{get, "/scan", "scan", everybody, "What a typed or scanned code leads to", does((*server).scan), option{}},
	{post, "/scan", "scan-photo", everybody, "What the code on the photo of a label leads to", does((*server).scanPhoto), option{limit: maxPhoto}},
	{post, "/calendar", "set-calendar", managers, "Set the working calendar, people and lifts", does((*server).setCalendar), option{again: true}},
}
