package log

import (
	"bytes"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/stretchr/testify/require"

	"marram.example/events"
)

func sample() (events.StreamID, events.Envelope, events.Event) {
	stream := events.CardStream("dunes", "medal", "card1")
	e := events.HoleScored{Hole: 7, Score: events.Score{Strokes: 5}, By: events.RoleMarker}
	return stream, events.Envelope{
		ID: "0196f0c2-8d5e-7cc3-9d0e-5a3b9a1f2c4d", Type: e.EventType(), Source: "dunes", Subject: "card1",
		Time:       time.Date(2031, 5, 3, 8, 30, 0, 123456789, time.UTC),
		RecordedAt: time.Date(2031, 5, 3, 6, 1, 2, 0, time.FixedZone("", 7200)).UTC(),
		Actor:      events.Actor{Role: events.RoleMarker, ID: "a:b/ü\r\nNats-Msg-Id: x"},
		CommandID:  "key with spaces\nand %", CommandHash: "sha256:00", CorrelationID: "r-1",
		Sequence: 12, Last: true,
	}, e
}

func TestMessageRoundTrip(t *testing.T) {
	c := events.NewCodec()
	stream, env, e := sample()
	m, err := encode(c, stream, env, e)
	require.NoError(t, err)
	for name, values := range m.Header {
		for _, v := range values {
			require.NotContains(t, v, "\n", name)
			require.Equal(t, strings.TrimSpace(v), v, name)
		}
	}
	// The way over the wire and back.
	wire := wireHeader(t, m.Header)
	h, err := nats.DecodeHeadersMsg(wire)
	require.NoError(t, err)
	got, err := decode(c, &nats.Msg{Subject: m.Subject, Header: h, Data: m.Data}, 99)
	require.NoError(t, err)
	require.Equal(t, events.Recorded{Envelope: env, Stream: stream, Position: 99, Event: e}, got)
}

// The headers are a wire format that others read: CloudEvents 1.0, binary mode.
func TestMessageHeaders(t *testing.T) {
	stream, env, e := sample()
	env.Actor.ID, env.CommandID = "entry 1", "cmd"
	m, err := encode(events.NewCodec(), stream, env, e)
	require.NoError(t, err)
	require.Equal(t, "marram.dunes.card.medal.card1", m.Subject)
	require.Equal(t, nats.Header{
		"ce-specversion":   {"1.0"},
		"ce-id":            {env.ID},
		"ce-type":          {"marram.card.HoleScored.v1"},
		"ce-source":        {"dunes"},
		"ce-subject":       {"card1"},
		"ce-time":          {"2031-05-03T08:30:00.123456789Z"},
		"ce-recordedat":    {"2031-05-03T04:01:02Z"},
		"ce-actor":         {"marker:entry%201"},
		"ce-correlationid": {"r-1"},
		"ce-causationid":   {"cmd"},
		"ce-commandhash":   {"sha256:00"},
		"ce-sequence":      {"12"},
		"ce-last":          {"true"},
		"content-type":     {"application/json"},
		"Nats-Msg-Id":      {env.ID},
	}, m.Header)
	require.JSONEq(t, `{"hole":7,"score":{"strokes":5},"by":"marker"}`, string(m.Data))
}

func TestMessageRefused(t *testing.T) {
	c := events.NewCodec()
	for name, change := range map[string]func(*nats.Msg){
		"no specversion":      func(m *nats.Msg) { m.Header.Del(headerSpecVersion) },
		"other specversion":   func(m *nats.Msg) { m.Header.Set(headerSpecVersion, "0.3") },
		"other content":       func(m *nats.Msg) { m.Header.Set(headerContentType, "text/plain") },
		"no id":               func(m *nats.Msg) { m.Header.Del(headerID) },
		"no type":             func(m *nats.Msg) { m.Header.Del(headerType) },
		"no command":          func(m *nats.Msg) { m.Header.Del(headerCausation) },
		"no actor":            func(m *nats.Msg) { m.Header.Del(headerActor) },
		"actor without role":  func(m *nats.Msg) { m.Header.Set(headerActor, ":x") },
		"actor without colon": func(m *nats.Msg) { m.Header.Set(headerActor, "player") },
		"broken escape":       func(m *nats.Msg) { m.Header.Set(headerCausation, "%zz") },
		"time in words":       func(m *nats.Msg) { m.Header.Set(headerTime, "noon") },
		"no time":             func(m *nats.Msg) { m.Header.Del(headerTime) },
		"device time":         func(m *nats.Msg) { m.Header.Set(headerRecordedAt, "8:30") },
		"sequence 0":          func(m *nats.Msg) { m.Header.Set(headerSequence, "0") },
		"sequence in words":   func(m *nats.Msg) { m.Header.Set(headerSequence, "one") },
		"last maybe":          func(m *nats.Msg) { m.Header.Set(headerLast, "maybe") },
		"other club":          func(m *nats.Msg) { m.Header.Set(headerSource, "links") },
		"other aggregate":     func(m *nats.Msg) { m.Header.Set(headerSubject, "card2") },
		"foreign subject":     func(m *nats.Msg) { m.Subject = "marram.dunes.card" },
		"body cut":            func(m *nats.Msg) { m.Data = m.Data[:5] },
		"body with more":      func(m *nats.Msg) { m.Data = append(m.Data, m.Data...) },
	} {
		stream, env, e := sample()
		m, err := encode(c, stream, env, e)
		require.NoError(t, err)
		change(m)
		_, err = decode(c, m, 1)
		require.Error(t, err, name)
	}
}

// Whatever lies in the stream: decode never panics, and what it accepts is
// written back to the same headers and decodes to the same event.
func FuzzDecode(f *testing.F) {
	c := events.NewCodec()
	stream, env, e := sample()
	m, err := encode(c, stream, env, e)
	require.NoError(f, err)
	wire := wireHeader(f, m.Header)
	f.Add(m.Subject, wire, m.Data)
	f.Add(m.Subject, []byte("NATS/1.0\r\nce-id: x\r\n\r\n"), []byte("{}"))
	f.Add("marram.dunes.card.-.x", []byte("NATS/1.0\r\n\r\n"), []byte(nil))
	f.Fuzz(func(t *testing.T, subject string, header, body []byte) {
		h, err := nats.DecodeHeadersMsg(header)
		if err != nil {
			return
		}
		got, err := decode(c, &nats.Msg{Subject: subject, Header: h, Data: body}, 1)
		if err != nil {
			return
		}
		again, err := encode(c, got.Stream, got.Envelope, got.Event)
		if got.Time.Year() > 9999 || got.RecordedAt.Year() > 9999 {
			return // RFC 3339 has no year beyond
		}
		require.NoError(t, err)
		require.Equal(t, subject, again.Subject)
		back, err := decode(c, again, 1)
		require.NoError(t, err)
		require.Equal(t, mustJSON(t, got), mustJSON(t, back))
	})
}

// wireHeader writes headers as NATS does (ADR-4).
func wireHeader(t testing.TB, h nats.Header) []byte {
	t.Helper()
	var b bytes.Buffer
	b.WriteString("NATS/1.0\r\n")
	require.NoError(t, http.Header(h).Write(&b))
	b.WriteString("\r\n")
	return b.Bytes()
}

func mustJSON(t *testing.T, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	require.NoError(t, err)
	return string(b)
}

// Any key survives the stored form, and the stored form is one that a bucket
// takes.
func FuzzKey(f *testing.F) {
	for _, k := range []string{"plain-Key_9", "a@b.c", "=", "ü/ *>", "\x00"} {
		f.Add(k)
	}
	f.Fuzz(func(t *testing.T, key string) {
		stored := encodeKey(key)
		require.Regexp(t, `^[-_=0-9A-Za-z]*$`, stored)
		back, err := decodeKey(stored)
		require.NoError(t, err)
		require.Equal(t, key, back)
	})
}

func TestDecodeKeyRefuses(t *testing.T) {
	for _, stored := range []string{"a.b", "=", "=4", "=zz", "a b"} {
		_, err := decodeKey(stored)
		require.Error(t, err, stored)
	}
}
