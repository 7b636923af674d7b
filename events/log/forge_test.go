package log_test

import (
	"encoding/json"
	"strconv"
	"testing"

	"github.com/google/uuid"
	"github.com/nats-io/nats.go"
	"github.com/stretchr/testify/require"

	"marram.example/events"
)

// forge makes the message of an event like a given one, with another sequence
// and command, as another process or a fault would leave it.
func forge(t *testing.T, like events.Recorded, sequence uint64, command string) *nats.Msg {
	t.Helper()
	body, err := json.Marshal(like.Event)
	require.NoError(t, err)
	id, err := uuid.NewV7()
	require.NoError(t, err)
	m := nats.NewMsg(like.Stream.Subject())
	m.Data = body
	for name, value := range map[string]string{
		"ce-specversion": "1.0",
		"content-type":   "application/json",
		"ce-id":          id.String(),
		"ce-type":        like.Type,
		"ce-source":      like.Source,
		"ce-subject":     like.Subject,
		"ce-time":        "2031-05-03T08:30:00Z",
		"ce-actor":       "player:x",
		"ce-causationid": command,
		"ce-commandhash": "h",
		"ce-sequence":    strconv.FormatUint(sequence, 10),
		"ce-last":        "true",
		"Nats-Msg-Id":    id.String(),
	} {
		m.Header.Set(name, value)
	}
	return m
}
