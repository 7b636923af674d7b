// Package events holds what happened: the event types of every aggregate, the
// envelope they travel in, the codec with its upcasters, the ids and the domain
// error. It does no I/O, reads no clock and draws no random number.
//
// An event is a fact in the past tense. It is never changed or deleted; when its
// shape must change it gets a new version in its type name, an upcaster from the
// old one, and the old golden file stays.
package events
