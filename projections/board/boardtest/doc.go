// Package boardtest plays invented competitions for tests: every event comes
// from a decider, as it would in the service, and lands in a log held in memory.
package boardtest
