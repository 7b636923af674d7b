package events

import (
	"encoding/json"
	"errors"
	"testing"

	"github.com/stretchr/testify/require"
)

// teaServed stands in for an event that has reached its third version.
type teaServed struct {
	fact
	Cups int    `json:"cups"`
	Kind string `json:"kind"`
}

func (teaServed) EventType() string { return "marram.tea.TeaServed.v3" }

// strayEvent is of a type that no codec knows.
type strayEvent struct{ fact }

func (strayEvent) EventType() string { return "marram.tea.Stray.v1" }

var errSpilt = errors.New("spilt")

// v1 counted pots of four cups, v2 cups, v3 says which tea.
func teaCodec() *Codec {
	return newCodec([]Event{teaServed{}}, []Upcaster{
		{From: "marram.tea.TeaServed.v1", To: "marram.tea.TeaServed.v2", Body: func(b json.RawMessage) (json.RawMessage, error) {
			var old struct{ Pots int }
			if err := json.Unmarshal(b, &old); err != nil {
				return nil, err
			}
			return json.Marshal(map[string]int{"cups": 4 * old.Pots})
		}},
		{From: "marram.tea.TeaServed.v2", To: "marram.tea.TeaServed.v3", Body: func(b json.RawMessage) (json.RawMessage, error) {
			var old struct{ Cups int }
			if err := json.Unmarshal(b, &old); err != nil {
				return nil, err
			}
			return json.Marshal(map[string]any{"cups": old.Cups, "kind": "black"})
		}},
		{From: "marram.tea.TeaSpilt.v1", To: "marram.tea.TeaServed.v1", Body: func(json.RawMessage) (json.RawMessage, error) { return nil, errSpilt }},
		{From: "marram.tea.Lost.v1", To: "marram.tea.Lost.v2", Body: same},
		{From: "marram.tea.Round.v1", To: "marram.tea.Round.v2", Body: same},
		{From: "marram.tea.Round.v2", To: "marram.tea.Round.v1", Body: same},
	})
}

func same(b json.RawMessage) (json.RawMessage, error) { return b, nil }

func TestDecodeUpcastsThroughEveryVersion(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ eventType, body string }{
		{"marram.tea.TeaServed.v1", `{"pots":2}`},
		{"marram.tea.TeaServed.v2", `{"cups":8}`},
		{"marram.tea.TeaServed.v3", `{"cups":8,"kind":"black"}`},
	} {
		got, err := teaCodec().Decode(c.eventType, []byte(c.body))
		require.NoError(t, err, c.eventType)
		require.Equal(t, teaServed{Cups: 8, Kind: "black"}, got, c.eventType)
	}
}

func TestDecodeStopsAtWhatItDoesNotKnow(t *testing.T) {
	t.Parallel()
	for _, eventType := range []string{
		"", "marram.tea.TeaServed.v4", "marram.tea.teaserved.v3",
		"marram.tea.Lost.v1",  // upcast to a version that nobody knows
		"marram.tea.Round.v1", // a chain that never ends
	} {
		_, err := teaCodec().Decode(eventType, []byte(`{}`))
		require.ErrorIs(t, err, ErrUnknownType, eventType)
	}
}

func TestDecodeReportsAFailingUpcaster(t *testing.T) {
	t.Parallel()
	_, err := teaCodec().Decode("marram.tea.TeaSpilt.v1", []byte(`{}`))
	require.ErrorIs(t, err, errSpilt)
	require.ErrorContains(t, err, "marram.tea.TeaSpilt.v1")
	require.NotErrorIs(t, err, ErrUnknownType)
}

// TestDecodeRefusesAnythingButOneWholeEvent: a fact must not lose a part in silence.
func TestDecodeRefusesAnythingButOneWholeEvent(t *testing.T) {
	t.Parallel()
	for body, why := range map[string]string{
		``:                                    "nothing",
		`null`:                                "null",
		" null\n":                             "null with space around it",
		`[]`:                                  "a list",
		`"tea"`:                               "a string",
		`{"cups":8`:                           "cut off",
		`{"cups":"8"}`:                        "a number as text",
		`{"cups":8.5}`:                        "a fraction",
		`{"cups":8,"milk":true}`:              "a field of a newer version",
		`{"cups":8}{"cups":9}`:                "two values",
		`{"cups":8}}`:                         "a stray brace",
		`{"cups":8}]`:                         "a stray bracket",
		`{"cups":8} tea`:                      "trailing text",
		`{"cups":99999999999999999999,"k":0}`: "a number that does not fit",
	} {
		_, err := teaCodec().Decode("marram.tea.TeaServed.v3", []byte(body))
		require.Error(t, err, why)
	}
	_, err := teaCodec().Decode("marram.tea.TeaServed.v3", []byte(" {\"cups\":8}\n"))
	require.NoError(t, err, "space around a value is no fault")
}

func TestEncodeRefusesATypeItCouldNotDecode(t *testing.T) {
	t.Parallel()
	_, err := NewCodec().Encode(strayEvent{})
	require.ErrorIs(t, err, ErrUnknownType)
}
