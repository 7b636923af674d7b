package log

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/nats-io/nats.go/jetstream"
)

// formatKey and format mark the stream as ours, in this layout.
const (
	formatKey = "marram-format"
	format    = "1"
)

func streamName(club string) string { return "MARRAM_" + club }

func streamConfig(o Options) jetstream.StreamConfig {
	return jetstream.StreamConfig{
		Name:               streamName(o.Club),
		Description:        "events of the club " + o.Club,
		Subjects:           []string{"marram." + o.Club + ".*.*.*"},
		Storage:            jetstream.FileStorage,
		Replicas:           o.Replicas,
		Retention:          jetstream.LimitsPolicy,
		MaxMsgs:            -1,
		MaxBytes:           -1,
		MaxMsgsPerSubject:  -1,
		Discard:            jetstream.DiscardNew,
		AllowAtomicPublish: true,
		AllowDirect:        true,
		DenyDelete:         true,
		DenyPurge:          true,
		Metadata:           map[string]string{formatKey: format},
	}
}

// ensureStream makes the stream where it is missing and refuses one that could
// lose or hide events.
func ensureStream(ctx context.Context, js jetstream.JetStream, o Options) (jetstream.Stream, error) {
	want := streamConfig(o)
	s, err := js.Stream(ctx, want.Name)
	if errors.Is(err, jetstream.ErrStreamNotFound) {
		s, err = js.CreateStream(ctx, want)
		if errors.Is(err, jetstream.ErrStreamNameAlreadyInUse) {
			s, err = js.Stream(ctx, want.Name)
		}
	}
	if err != nil {
		return nil, fmt.Errorf("stream %s: %w", want.Name, err)
	}
	got := s.CachedInfo().Config
	if reason := misfit(got, want); reason != "" {
		return nil, fmt.Errorf("stream %s: %w: %s", want.Name, ErrForeign, reason)
	}
	if got.Replicas != want.Replicas {
		o.Logger.Warn("stream has another number of replicas than asked for", "has", got.Replicas, "asked", want.Replicas)
	}
	return s, nil
}

// misfit says in a few words why got cannot serve as the event log, or nothing.
func misfit(got, want jetstream.StreamConfig) string {
	switch {
	case got.Metadata[formatKey] != want.Metadata[formatKey]:
		return fmt.Sprintf("its %s is %q, this program writes %q", formatKey, got.Metadata[formatKey], format)
	case !slices.Equal(got.Subjects, want.Subjects):
		return fmt.Sprintf("it holds the subjects %v instead of %v", got.Subjects, want.Subjects)
	case got.Storage != want.Storage:
		return "it is not stored in files"
	case got.PersistMode != want.PersistMode:
		return "its persist mode answers before anything is stored"
	case got.Retention != want.Retention || got.MaxMsgs > 0 || got.MaxBytes > 0 || got.MaxAge > 0 || got.MaxMsgsPerSubject > 0:
		return "it has a limit after which events would vanish"
	case !got.DenyDelete || !got.DenyPurge:
		return "it allows deleting events"
	case !got.AllowAtomicPublish:
		return "it does not allow atomic batches"
	case !got.AllowDirect:
		return "it does not allow direct reads"
	case got.NoAck:
		return "it does not acknowledge"
	case got.Sealed:
		return "it is sealed"
	case got.Mirror != nil || len(got.Sources) > 0 || got.SubjectTransform != nil:
		return "it copies or rewrites another stream"
	}
	return ""
}
