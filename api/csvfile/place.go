package csvfile

import "bytes"

// lineStart is where a line begins, counted from 1.
func lineStart(data []byte, line int) int {
	at := 0
	for ; line > 1; line-- {
		i := bytes.IndexByte(data[at:], '\n')
		if i < 0 {
			return len(data)
		}
		at += i + 1
	}
	return at
}

// openQuote finds, in the record that begins on a line, the value whose
// quotation mark spoils the rest: its line and its place in the record.
func openQuote(data []byte, start int, comma byte) (line, field int) {
	line = start
	begin, beginField, quoted, fresh := start, 0, false, true
	for i := lineStart(data, start); i < len(data); i++ {
		b := data[i]
		switch {
		case b == '\n' && !quoted:
			return begin, beginField // the mark was closed, and something followed it
		case b == '"' && quoted && i+1 < len(data) && data[i+1] == '"':
			i++
		case b == '"' && quoted:
			quoted = false
			if j := i + 1; j < len(data) && data[j] != comma && data[j] != '\n' && data[j] != '\r' {
				return begin, beginField
			}
		case b == '"' && fresh:
			quoted, fresh, begin, beginField = true, false, line, field
		case b == comma && !quoted:
			field++
			fresh = true
		case b == ' ' || b == '\t':
		default:
			fresh = false
		}
		if b == '\n' {
			line++
		}
	}
	return begin, beginField
}

// fieldAt is the place in its record, which begins on line start, of the value at
// a byte column of a line.
func fieldAt(data []byte, start, line, column int, comma byte) int {
	field, quoted := 0, false
	for i, end := lineStart(data, start), min(lineStart(data, line)+column-1, len(data)); i < end; i++ {
		switch {
		case data[i] == '"':
			quoted = !quoted
		case data[i] == comma && !quoted:
			field++
		}
	}
	return field
}
