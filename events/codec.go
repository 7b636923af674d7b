package events

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"sort"
)

// ErrUnknownType says that the log holds an event that this build does not
// know: it was written by a newer one. Folding on without it would be wrong.
var ErrUnknownType = errors.New("unknown event type")

// Upcaster turns the stored body of one version of an event into the next. It
// is pure, and chained until a type is reached that the codec can decode.
type Upcaster struct {
	From, To string
	Body     func(json.RawMessage) (json.RawMessage, error)
}

// Codec turns events into bytes and back.
type Codec struct {
	types     map[string]reflect.Type
	upcasters map[string]Upcaster
}

// NewCodec returns the codec for every event type of this package.
func NewCodec() *Codec {
	return newCodec(prototypes(), upcasters())
}

// upcasters are the steps from every stored version to the present one.
func upcasters() []Upcaster { return nil }

func newCodec(known []Event, steps []Upcaster) *Codec {
	c := &Codec{types: make(map[string]reflect.Type, len(known)), upcasters: make(map[string]Upcaster, len(steps))}
	for _, e := range known {
		c.types[e.EventType()] = reflect.TypeOf(e)
	}
	for _, u := range steps {
		c.upcasters[u.From] = u
	}
	return c
}

// prototypes lists every event type once, in its present version.
func prototypes() []Event {
	return []Event{
		CourseDefined{}, TeeDefined{}, CourseRevised{},
		PlayerRegistered{}, PlayerDetailsChanged{}, HandicapIndexRecorded{}, PlayerLeft{}, PlayerErased{},
		ReviewShared{}, ReviewShareWithdrawn{}, CoachNoteAdded{}, CoachNoteRemoved{},
		CompetitionPlanned{}, TermsSet{}, EntryAccepted{}, EntryAmended{}, EntryWithdrawn{}, DrawPublished{},
		RoundOpened{}, RoundSuspended{}, RoundResumed{}, RoundClosed{}, CutMade{}, PlayingConditionsSet{},
		HoleExcluded{}, HoleRestored{}, TieDecided{}, ResultPublished{}, ResultRevised{},
		CardIssued{}, CardReissued{}, MarkerAssigned{}, HoleScored{}, HoleScoreCorrected{}, PenaltyAdded{}, PenaltyRemoved{}, CardCertified{},
		StrokeRecorded{}, StrokeAmended{}, StrokeRemoved{},
		CardReturned{}, CardReopened{}, CardStatusRuled{},
		MatchArranged{}, MatchHoleDecided{}, MatchHoleCorrected{}, MatchHoleRemoved{}, HoleConceded{}, MatchConceded{},
		MatchResultAgreed{}, MatchDecided{}, MatchRuled{}, MatchReopened{},
		HandicapEstimatesSwitched{}, ExpectedScoresImported{}, ExpectedScoresWithdrawn{},
	}
}

// Types lists the stored names that this codec decodes without an upcaster, sorted.
func (c *Codec) Types() []string {
	names := make([]string, 0, len(c.types))
	for n := range c.types {
		names = append(names, n)
	}
	sort.Strings(names)
	return names
}

// Encode returns the JSON body of an event. The bytes are the same for the same
// event, so that a golden file can hold them.
func (c *Codec) Encode(e Event) ([]byte, error) {
	if _, ok := c.types[e.EventType()]; !ok {
		return nil, fmt.Errorf("encode %s: %w", e.EventType(), ErrUnknownType)
	}
	b, err := json.Marshal(e)
	if err != nil {
		return nil, fmt.Errorf("encode %s: %w", e.EventType(), err)
	}
	return b, nil
}

// Decode turns a stored body back into an event of the present version.
// Fields that this build does not know are refused: a fact must not lose a part
// in silence.
func (c *Codec) Decode(eventType string, body []byte) (Event, error) {
	for range len(c.upcasters) + 1 {
		if t, ok := c.types[eventType]; ok {
			return decodeAs(t, eventType, body)
		}
		u, ok := c.upcasters[eventType]
		if !ok {
			break
		}
		next, err := u.Body(body)
		if err != nil {
			return nil, fmt.Errorf("upcast %s to %s: %w", u.From, u.To, err)
		}
		eventType, body = u.To, next
	}
	return nil, fmt.Errorf("decode %s: %w", eventType, ErrUnknownType)
}

func decodeAs(t reflect.Type, eventType string, body []byte) (Event, error) {
	if bytes.Equal(bytes.TrimSpace(body), []byte("null")) {
		return nil, fmt.Errorf("decode %s: null is no event", eventType)
	}
	v := reflect.New(t)
	d := json.NewDecoder(bytes.NewReader(body))
	d.DisallowUnknownFields()
	if err := d.Decode(v.Interface()); err != nil {
		return nil, fmt.Errorf("decode %s: %w", eventType, err)
	}
	// Token, not More: More takes a stray closing bracket for the end.
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("decode %s: more than one value", eventType)
	}
	e, ok := v.Elem().Interface().(Event)
	if !ok {
		return nil, fmt.Errorf("decode %s: %w", eventType, ErrUnknownType)
	}
	return e, nil
}
