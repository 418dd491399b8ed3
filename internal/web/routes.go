// SPDX-License-Identifier: Apache-2.0

package web

import (
	"slices"

	"witnessmark/internal/job"
)

// route is one way in: method, path, who may use it and what it does.
type route struct {
	method, path string
	role         roles
	do           func(*server, *request) error
}

// roles is who may use a route.
type roles []string

var (
	anybody   = roles(nil) // without a log-in
	everybody = roles{job.Technician, job.Inspector, job.Office, job.Manager}
	hands     = roles{job.Technician, job.Inspector, job.Manager}
	deciders  = roles{job.Inspector, job.Manager}
	managers  = roles{job.Manager}
)

func (r roles) admits(role string) bool { return slices.Contains(r, role) }

// routes is every route on one screen. A test walks it with every role and
// with none.
var routes = []route{
	{"GET", "/static/{stamp}/{file}", anybody, (*server).static},
	{"GET", "/sw.js", anybody, (*server).serviceWorker},
	{"GET", "/login", anybody, (*server).loginPage},
	{"POST", "/login", anybody, (*server).login},
	{"POST", "/setup", anybody, (*server).setUp},
	{"POST", "/logout", everybody, (*server).logout},
	{"GET", "/person", everybody, (*server).personPage},
	{"POST", "/person", everybody, (*server).changePerson},

	{"GET", "/{$}", everybody, (*server).jobsPage},
	{"GET", "/jobs/new", everybody, (*server).newJobPage},
	{"POST", "/jobs", everybody, (*server).newJob},
	{"GET", "/jobs/{job}", everybody, (*server).jobPage},
	{"GET", "/jobs/{job}/events", everybody, (*server).events},
	{"POST", "/jobs/{job}/here", everybody, (*server).here},
	{"GET", "/jobs/{job}/position/{position}/{phase}", everybody, (*server).positionPage},
	{"POST", "/jobs/{job}/reading", hands, (*server).keepReading},
	{"GET", "/jobs/{job}/measure/{position}", everybody, (*server).measurePage},
	{"POST", "/jobs/{job}/measured", hands, (*server).keepMeasured},
	{"POST", "/jobs/{job}/roughness", hands, (*server).keepRoughness},
	{"GET", "/jobs/{job}/clearance/{position}", everybody, (*server).clearancePage},
	{"POST", "/jobs/{job}/asked", hands, (*server).keepAsked},
	{"GET", "/jobs/{job}/wear/{position}", everybody, (*server).wearPage},
	{"POST", "/jobs/{job}/wear", hands, (*server).keepWear},
	{"POST", "/jobs/{job}/journal", hands, (*server).keepJournal},
	{"POST", "/jobs/{job}/part", hands, (*server).keepPart},
	{"GET", "/jobs/{job}/pairing", everybody, (*server).pairingPage},
	{"POST", "/jobs/{job}/pairing", hands, (*server).keepPairing},
	{"GET", "/jobs/{job}/shells/{position}", everybody, (*server).shellsPage},
	{"POST", "/jobs/{job}/shells", hands, (*server).keepShells},

	{"GET", "/jobs/{job}/film", everybody, (*server).filmPage},
	{"GET", "/jobs/{job}/film/{position}", everybody, (*server).filmPage},
	{"POST", "/jobs/{job}/film/stop", everybody, (*server).stopFilm},
	{"POST", "/jobs/{job}/film/again", everybody, (*server).againFilm},

	{"GET", "/jobs/{job}/record", everybody, (*server).recordPage},
	{"GET", "/jobs/{job}/record/{seq}/correct", hands, (*server).correctPage},
	{"POST", "/jobs/{job}/record/{seq}/correct", hands, (*server).keepCorrection},
	{"GET", "/jobs/{job}/note", everybody, (*server).notePage},
	{"POST", "/jobs/{job}/note", everybody, (*server).keepNote},
	{"POST", "/jobs/{job}/note/resolve", everybody, (*server).resolveNote},
	{"GET", "/jobs/{job}/concede", hands, (*server).concedePage},
	{"POST", "/jobs/{job}/concede", hands, (*server).keepConcession},
	{"GET", "/jobs/{job}/report", everybody, (*server).reportPage},
	{"GET", "/jobs/{job}/report.pdf", everybody, (*server).reportPDF},
	{"GET", "/jobs/{job}/summary.pdf", everybody, (*server).summaryPDF},
	{"GET", "/jobs/{job}/bundle.zip", everybody, (*server).bundle},

	{"GET", "/jobs/{job}/erase", managers, (*server).erasePage},
	{"POST", "/jobs/{job}/erase", managers, (*server).keepErasure},

	{"GET", "/jobs/{job}/arrival", everybody, (*server).arrivalPage},
	{"POST", "/jobs/{job}/arrival", everybody, (*server).keepArrival},
	{"GET", "/jobs/{job}/strip", everybody, (*server).stripPage},
	{"POST", "/jobs/{job}/strip", hands, (*server).keepOperation},
	{"POST", "/jobs/{job}/bag", hands, (*server).keepBag},
	{"POST", "/jobs/{job}/found", hands, (*server).keepFound},
	{"GET", "/jobs/{job}/refit", everybody, (*server).refitPage},
	{"POST", "/jobs/{job}/refit", hands, (*server).keepProof},
	{"POST", "/jobs/{job}/faults", hands, (*server).keepFaults},
	{"GET", "/jobs/{job}/parts", everybody, (*server).partsPage},
	{"POST", "/jobs/{job}/parts", everybody, (*server).keepParts},
	{"GET", "/jobs/{job}/account", everybody, (*server).accountPage},
	{"POST", "/jobs/{job}/time", hands, (*server).keepTime},
	{"GET", "/jobs/{job}/export/{paper}/{kind}", everybody, (*server).exportFile},
	{"GET", "/jobs/{job}/estimate.pdf", everybody, (*server).estimatePaper},
	{"GET", "/jobs/{job}/agree", everybody, (*server).agreePage},
	{"POST", "/jobs/{job}/agree", everybody, (*server).keepAgree},
	{"POST", "/jobs/{job}/plan", everybody, (*server).keepPlan},
	{"POST", "/jobs/{job}/scope", everybody, (*server).keepScope},
	{"GET", "/jobs/{job}/special", everybody, (*server).specialPage},
	{"POST", "/jobs/{job}/special", everybody, (*server).keepSpecial},
	{"GET", "/jobs/{job}/dates", everybody, (*server).datesPage},
	{"POST", "/jobs/{job}/start", everybody, (*server).keepStart},
	{"GET", "/jobs/{job}/labels", everybody, (*server).labelsPage},
	{"GET", "/jobs/{job}/labels.pdf", everybody, (*server).labelsFile},
	{"GET", "/jobs/{job}/debris", everybody, (*server).debrisPage},
	{"POST", "/jobs/{job}/debris", hands, (*server).keepDebris},
	{"POST", "/jobs/{job}/debris/dealt", hands, (*server).keepDealt},
	{"POST", "/jobs/{job}/mains", hands, (*server).keepMains},
	{"GET", "/jobs/{job}/assemble", everybody, (*server).assemblePage},
	{"POST", "/jobs/{job}/fitted", hands, (*server).keepPartFitted},
	{"GET", "/jobs/{job}/bolts", everybody, (*server).boltsPage},
	{"POST", "/jobs/{job}/bolts", hands, (*server).keepStage},
	{"POST", "/jobs/{job}/bolts/loosen", hands, (*server).keepLoosened},
	{"POST", "/jobs/{job}/bolts/witness", hands, (*server).keepWitness},
	{"POST", "/jobs/{job}/bolts/wheels", hands, (*server).keepWheels},
	{"GET", "/jobs/{job}/traces", everybody, (*server).tracesPage},
	{"POST", "/jobs/{job}/traces", hands, (*server).keepTraces},
	{"POST", "/jobs/{job}/traces/looked", hands, (*server).keepLooked},
	{"GET", "/jobs/{job}/clamp", everybody, (*server).clampPage},
	{"GET", "/jobs/{job}/play", everybody, (*server).playPage},
	{"POST", "/jobs/{job}/play", hands, (*server).keepPlay},
	{"POST", "/jobs/{job}/thrust", hands, (*server).keepThrust},
	{"POST", "/jobs/{job}/clamp", hands, (*server).keepLength},
	{"GET", "/jobs/{job}/settings", everybody, (*server).settingsPage},
	{"POST", "/jobs/{job}/settings", hands, (*server).keepSetting},
	{"POST", "/jobs/{job}/settings/gear", hands, (*server).keepGear},
	{"GET", "/jobs/{job}/close", everybody, (*server).closePage},
	{"POST", "/jobs/{job}/close", hands, (*server).keepClose},
	{"GET", "/jobs/{job}/run", everybody, (*server).runPage},
	{"POST", "/jobs/{job}/run", hands, (*server).keepRun},
	{"GET", "/jobs/{job}/handover", everybody, (*server).handoverPage},
	{"POST", "/jobs/{job}/handover", hands, (*server).keepHandover},
	{"POST", "/jobs/{job}/seal", hands, (*server).keepSeal},
	{"POST", "/jobs/{job}/oldparts", everybody, (*server).keepOldParts},
	{"POST", "/jobs/{job}/followup", everybody, (*server).keepFollowUp},

	{"GET", "/jobs/{job}/sheet", everybody, (*server).jobSheetPage},
	{"POST", "/jobs/{job}/sheet", hands, (*server).adoptSheet},
	{"GET", "/sheets", everybody, (*server).sheetsPage},
	{"POST", "/sheets", managers, (*server).addSheet},
	{"GET", "/sheets/{hash}", everybody, (*server).sheetPage},
	{"GET", "/sheets/{hash}/file", everybody, (*server).sheetBytes},
	{"GET", "/sheets/{hash}/blank.pdf", everybody, (*server).blankSheets},
	{"GET", "/plans", everybody, (*server).plansPage},
	{"GET", "/plans/{plan}", everybody, (*server).planPage},
	{"GET", "/plans/{plan}/plan.yaml", everybody, (*server).planBytes},
	{"GET", "/tools", everybody, (*server).toolsPage},
	{"GET", "/tools/new", managers, (*server).newToolPage},
	{"POST", "/tools", managers, (*server).keepTool},
	{"GET", "/tools/{tool}", everybody, (*server).toolPage},
	{"POST", "/tools/{tool}/calibration", managers, (*server).keepCalibration},
	{"POST", "/tools/{tool}/description", managers, (*server).keepDescription},
	{"POST", "/tools/{tool}/test", deciders, (*server).keepTest},
	{"POST", "/tools/{tool}/count", hands, (*server).keepCount},
	{"POST", "/tools/{tool}/retire", managers, (*server).keepRetired},
	{"GET", "/tools/{tool}/study", everybody, (*server).studiesPage},
	{"POST", "/tools/{tool}/study", hands, (*server).openStudy},
	{"POST", "/tools/{tool}/study/table", hands, (*server).studyTable},
	{"GET", "/studies/{study}", everybody, (*server).studyPage},
	{"POST", "/studies/{study}/read", hands, (*server).keepStudyReading},
	{"POST", "/studies/{study}/again", hands, (*server).readStudyAgain},
	{"POST", "/studies/{study}/use", hands, (*server).useStudy},
	{"GET", "/studies/{study}/readings.csv", everybody, (*server).studyFile},
	{"GET", "/stock", everybody, (*server).stockPage},
	{"POST", "/stock", hands, (*server).keepBatch},
	{"GET", "/stock/{batch}", everybody, (*server).batchPage},
	{"POST", "/stock/{batch}", hands, (*server).keepStock},
	{"GET", "/people", managers, (*server).peoplePage},
	{"POST", "/people", managers, (*server).addPerson},
	{"POST", "/people/{person}/pin", managers, (*server).newPIN},
	{"POST", "/people/{person}/unlock", managers, (*server).unlock},
	{"POST", "/people/{person}/change", managers, (*server).personChanged},
	{"POST", "/people/{person}/left", managers, (*server).personLeft},
	{"POST", "/people/{person}/erase", managers, (*server).personErased},
	{"GET", "/settings", managers, (*server).workshopPage},
	{"POST", "/settings", managers, (*server).keepWorkshop},
	{"POST", "/settings/calendar", managers, (*server).keepHours},
	{"GET", "/calendar", everybody, (*server).calendarPage},
	{"POST", "/calendar/feed", everybody, (*server).makeFeed},
	{"POST", "/calendar/feed/end", everybody, (*server).endFeed},
	{"GET", "/calendar/{token}/workshop.ics", anybody, (*server).feed},
	{"GET", "/suppliers", everybody, (*server).suppliersPage},
	{"GET", "/scan", everybody, (*server).scanPage},
	{"POST", "/scan", everybody, (*server).scan},
	{"GET", "/help", everybody, (*server).helpPage},
	{"GET", "/jobs/{job}/photos", everybody, (*server).photosPage},
	{"GET", "/jobs/{job}/photos/{position}", everybody, (*server).photosPage},
	{"GET", "/jobs/{job}/photo/{photo}", everybody, (*server).photoPage},
	{"GET", "/jobs/{job}/photo/{photo}/file", everybody, (*server).photoFile},
	{"POST", "/jobs/{job}/photo/{photo}/marks", hands, (*server).keepMarks},
}
