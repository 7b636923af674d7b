package events_test

import "marram.example/events"

// clubExamples are what the club decided for itself; all figures are invented.
var clubExamples = []example{
	{"", events.HandicapEstimatesSwitched{On: true, Caution: "only the association issues an index", Reason: "the association agreed"}},
	{"off", events.HandicapEstimatesSwitched{Reason: "the association asked for it"}},
	{"", events.ExpectedScoresImported{Source: "invented for a test", Rows: []events.ExpectedScore{
		{IndexTenths: -12, ExpectedNum: -3, ExpectedDen: 10}, {IndexTenths: 140, ExpectedNum: 8125, ExpectedDen: 1000},
	}}},
	{"", events.ExpectedScoresWithdrawn{Reason: "the figures were for another year"}},
}
