package log

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/nats-io/nats.go/jetstream"

	"marram.example/events"
)

// Bucket holds what is not an event and may be forgotten: accounts, sessions,
// keys, card links. It is as durable as the log.
type Bucket struct {
	log    *Log
	kv     jetstream.KeyValue
	stream jetstream.Stream
}

// Bucket opens a bucket of the club, and makes it where it is missing. Values
// vanish by themselves a ttl after they were put; 0 keeps them.
func (l *Log) Bucket(ctx context.Context, name string, ttl time.Duration) (*Bucket, error) {
	if !events.ValidToken(name) {
		return nil, fmt.Errorf("bucket name %q is not 1 to 64 letters, digits, hyphens or underscores", name)
	}
	ctx, end, err := l.begin(ctx)
	if err != nil {
		return nil, err
	}
	defer end()
	full := "marram_" + l.opts.Club + "_" + name
	b := &Bucket{log: l}
	err = l.insist(ctx, l.patient.slower(), func(ctx context.Context) (err error) {
		if b.stream, err = l.js.CreateOrUpdateStream(ctx, bucketConfig(full, ttl, l.opts.Replicas)); err != nil {
			return err
		}
		b.kv, err = l.js.KeyValue(ctx, full)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("bucket %s: %w", name, err)
	}
	return b, nil
}

// bucketConfig is that of a key-value bucket of JetStream (ADR-8) with two
// differences: single messages may be deleted, so that a value can be wiped from
// the file; and with replicas only the leader answers reads, so that what was
// deleted or put is seen at once.
func bucketConfig(full string, ttl time.Duration, replicas int) jetstream.StreamConfig {
	window := 2 * time.Minute
	if ttl > 0 {
		window = min(window, ttl)
	}
	return jetstream.StreamConfig{
		Name: "KV_" + full, Subjects: []string{"$KV." + full + ".>"},
		Storage: jetstream.FileStorage, Replicas: replicas,
		MaxMsgsPerSubject: 1, MaxAge: ttl, MaxMsgs: -1, MaxBytes: -1, MaxMsgSize: -1, MaxConsumers: -1,
		Discard: jetstream.DiscardNew, Duplicates: window,
		AllowRollup: true, AllowDirect: replicas == 1,
		Metadata: map[string]string{formatKey: format},
	}
}

// Get returns the value of a key, or ErrNoKey.
func (b *Bucket) Get(ctx context.Context, key string) ([]byte, error) {
	e, err := b.entry(ctx, key)
	if err != nil {
		return nil, err
	}
	return e.Value(), nil
}

func (b *Bucket) entry(ctx context.Context, key string) (e jetstream.KeyValueEntry, err error) {
	err = b.do(ctx, key, func(ctx context.Context, k string) error {
		e, err = b.kv.Get(ctx, k)
		return err
	})
	return e, err
}

// Put sets the value of a key.
func (b *Bucket) Put(ctx context.Context, key string, value []byte) error {
	return b.do(ctx, key, func(ctx context.Context, k string) error {
		_, err := b.kv.Put(ctx, k, value)
		return err
	})
}

// Create sets the value of a key that must not be there, else ErrKeyExists.
func (b *Bucket) Create(ctx context.Context, key string, value []byte) error {
	unanswered := false
	return b.do(ctx, key, func(ctx context.Context, k string) error {
		_, err := b.kv.Create(ctx, k, value)
		if errors.Is(err, jetstream.ErrKeyExists) && unanswered {
			// It may be the try whose answer was lost.
			if e, gerr := b.kv.Get(ctx, k); gerr == nil && string(e.Value()) == string(value) {
				return nil
			}
		}
		unanswered = unanswered || (err != nil && transient(err))
		return err
	})
}

// Delete removes a key, whether it is there or not. Its value is overwritten in
// the store's file. Copies that others hold remain: backups, and what a disk or
// file system keeps of a block that was overwritten.
func (b *Bucket) Delete(ctx context.Context, key string) error {
	for {
		e, err := b.entry(ctx, key)
		if errors.Is(err, ErrNoKey) {
			return nil
		}
		if err != nil {
			return err
		}
		err = b.do(ctx, key, func(ctx context.Context, _ string) error {
			err := b.stream.SecureDeleteMsg(ctx, e.Revision())
			if gone(err) {
				return nil
			}
			return err
		})
		if err != nil {
			return err
		}
	}
}

// gone reports whether a message to be deleted was not there any more.
func gone(err error) bool {
	var api *jetstream.APIError
	return errors.Is(err, jetstream.ErrMsgNotFound) || (errors.As(err, &api) && api.ErrorCode == codeNoMessage) ||
		(errors.Is(err, jetstream.ErrMsgDeleteUnsuccessful) && strings.Contains(err.Error(), "no message found"))
}

// Keys lists the keys, in no order.
func (b *Bucket) Keys(ctx context.Context) ([]string, error) {
	var keys []string
	err := b.do(ctx, "keys", func(ctx context.Context, _ string) error {
		prefix := "$KV." + b.kv.Bucket() + "."
		info, err := b.stream.Info(ctx, jetstream.WithSubjectFilter(prefix+">"))
		if err != nil {
			return err
		}
		keys = keys[:0]
		for subject := range info.State.Subjects {
			key, err := decodeKey(strings.TrimPrefix(subject, prefix))
			if err != nil {
				return err
			}
			keys = append(keys, key)
		}
		return nil
	})
	return keys, err
}

// do runs one operation on the stored form of a key, with the patience of the
// log, and gives its errors the names of this package.
func (b *Bucket) do(ctx context.Context, key string, op func(ctx context.Context, stored string) error) error {
	if key == "" {
		return errors.New("bucket: empty key")
	}
	ctx, end, err := b.log.begin(ctx)
	if err != nil {
		return err
	}
	defer end()
	k := encodeKey(key)
	err = b.log.insist(ctx, b.log.patient.slower(), func(ctx context.Context) error { return op(ctx, k) })
	switch {
	case errors.Is(err, jetstream.ErrKeyNotFound):
		return ErrNoKey
	case errors.Is(err, jetstream.ErrKeyExists):
		return ErrKeyExists
	case err != nil:
		return fmt.Errorf("bucket %s: %w", b.kv.Bucket(), err)
	}
	return nil
}
