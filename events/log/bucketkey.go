package log

import (
	"encoding/hex"
	"fmt"
	"strings"
)

// encodeKey writes a key with the characters that a bucket allows: letters,
// digits, hyphen and underscore stand for themselves, every other byte is = and
// two hexadecimal digits.
func encodeKey(key string) string {
	var b strings.Builder
	for i := range len(key) {
		if c := key[i]; plain(c) {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "=%02x", c)
		}
	}
	return b.String()
}

func decodeKey(stored string) (string, error) {
	var b strings.Builder
	for i := 0; i < len(stored); i++ {
		c := stored[i]
		if plain(c) {
			b.WriteByte(c)
			continue
		}
		if c != '=' || i+2 >= len(stored) {
			return "", fmt.Errorf("stored key %q is malformed", stored)
		}
		raw, err := hex.DecodeString(stored[i+1 : i+3])
		if err != nil {
			return "", fmt.Errorf("stored key %q: %w", stored, err)
		}
		b.WriteByte(raw[0])
		i += 2
	}
	return b.String(), nil
}

func plain(c byte) bool {
	return c == '-' || c == '_' || '0' <= c && c <= '9' || 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z'
}
