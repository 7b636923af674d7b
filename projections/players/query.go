package players

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/jmoiron/sqlx"
	"golang.org/x/text/cases"
	"golang.org/x/text/runes"
	"golang.org/x/text/transform"
	"golang.org/x/text/unicode/norm"

	"marram.example/events"
	"marram.example/projections"
	"marram.example/projections/store"
)

// Get reads one player, or a not-found *events.Error.
func (p *Players) Get(ctx context.Context, id string) (*Player, error) {
	return p.Documents.Get(ctx, "player_id", id)
}

// ByMemberNo reads the player with a member number, or a not-found
// *events.Error.
func (p *Players) ByMemberNo(ctx context.Context, memberNo string) (*Player, error) {
	found, err := p.Select(ctx, "WHERE member_no = ? ORDER BY "+p.store.Bytewise("id")+" LIMIT 1", store.Text(memberNo))
	if err != nil {
		return nil, err
	}
	if len(found) == 0 {
		return nil, events.NotFound("member_no", "nobody has this member number")
	}
	return &found[0], nil
}

// maxWords bounds how many words of a search count.
const maxWords = 8

// List reads a page of players, ordered by name and then by id, and the cursor
// of the next page, empty on the last. Search keeps those in whose name or member
// number every word of it appears, without regard to case and accents; empty
// keeps all. After is empty for the first page; a malformed one is an invalid
// *events.Error.
func (p *Players) List(ctx context.Context, search, after string, limit int) (page []Player, next string, err error) {
	limit = projections.PageSize(limit)
	id := p.store.Bytewise("id")
	var conditions []string
	var args []any
	words := strings.Fields(fold(search))
	for _, w := range words[:min(len(words), maxWords)] {
		conditions = append(conditions, `search LIKE ? ESCAPE '\'`)
		args = append(args, "%"+literal.Replace(w)+"%")
	}
	if after != "" {
		from, err := projections.ParseCursor(after, 2)
		if err != nil {
			return nil, "", err
		}
		conditions = append(conditions, "(name_key, "+id+") > (?, ?)")
		args = append(args, from[0], from[1])
	}
	where := ""
	if len(conditions) > 0 {
		where = "WHERE " + strings.Join(conditions, " AND ")
	}
	page, err = p.Select(ctx, where+" ORDER BY name_key, "+id+" LIMIT ?", append(args, limit+1)...)
	if err != nil || len(page) <= limit {
		return page, "", err
	}
	page = page[:limit]
	last := page[limit-1]
	return page, projections.Cursor(p.nameKey(last.State.Name), last.ID), nil
}

// idsPerQuery keeps an IN list far below the parameter limits.
const idsPerQuery = 500

// Names reads the names of players. Somebody erased has an empty name; an id
// that nobody has is not in the map.
func (p *Players) Names(ctx context.Context, ids []string) (map[string]string, error) {
	names := make(map[string]string, len(ids))
	db := p.store.DB()
	valid := slices.DeleteFunc(slices.Clone(ids), func(id string) bool { return !events.ValidToken(id) })
	for some := range slices.Chunk(valid, idsPerQuery) {
		query, args, err := sqlx.In("SELECT id, name FROM players WHERE id IN (?)", some)
		if err != nil {
			return nil, fmt.Errorf("names: %w", err)
		}
		var rows []struct{ ID, Name string }
		if err := db.SelectContext(ctx, &rows, db.Rebind(query), args...); err != nil {
			return nil, fmt.Errorf("names: %w", err)
		}
		for _, r := range rows {
			names[r.ID] = r.Name
		}
	}
	return names, nil
}

// literal takes the meaning from LIKE's signs.
var literal = strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`)

// fold takes case and accents from text, so that "muller" finds "Müller".
func fold(s string) string {
	plain, _, err := transform.String(transform.Chain(norm.NFKD, runes.Remove(runes.In(unicode.Mn)), norm.NFC), s)
	if err != nil {
		plain = s // malformed text is searched as it is
	}
	return store.Text(cases.Fold().String(plain))
}
