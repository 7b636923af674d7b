// Package csvfile reads the CSV files that a club brings: courses, players,
// entries, cards, strokes and expected scores. A file is UTF-8 with or without a byte order mark, cells
// are parted by commas or semicolons, lines end in LF or CRLF, and the first
// line names the columns, in any order and in upper or lower case.
//
// Every fault is kept with the line and the column where it stands, up to
// MaxProblems a file, so that one look mends them all. Nothing here knows what
// the club has stored: that is api/command's part.
package csvfile
