// Package command holds the use cases without HTTP: who may do it, the figures
// that go into the command, then the event log. API, console, import and demo
// all come through here, so that a rule is enforced once.
//
// Nothing here reads the read store: while it is down, slow or gone, scores are
// accepted all the same.
package command
