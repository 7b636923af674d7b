package command

import (
	"context"
	"strings"
	"time"

	"marram.example/api/csvfile"
	"marram.example/events"
	"marram.example/events/player"
)

// players plans a players file.
func (i *importing) players(ctx context.Context, rows []csvfile.PlayerRow) error {
	for _, r := range rows {
		existed, decided, err := i.player(ctx, r)
		if err != nil {
			if err := i.refused(err, r.Line, playerColumn); err != nil {
				return err
			}
			continue
		}
		i.count(existed, len(decided) > 0)
	}
	return nil
}

func playerColumn(field string) string {
	switch field {
	case "name", "handicap_index":
		return field
	case "effective":
		return "index_date"
	default:
		return "member_no"
	}
}

// player plans one row: the name is sealed only when the draft is carried out,
// so that nothing is left behind for a file that is refused.
func (i *importing) player(ctx context.Context, r csvfile.PlayerRow) (existed bool, decided []events.Event, err error) {
	name, err := checkName(r.Name)
	if err != nil {
		return false, nil, err
	}
	id := i.service.PlayerID(r.MemberNo)
	stream := events.PlayerStream(i.service.club, id)
	have, err := look(ctx, i.draft, players, stream)
	if err != nil {
		return false, nil, err
	}
	existed = have.Exists()
	same, err := i.named(ctx, id, have, name)
	if err != nil {
		return existed, nil, err
	}
	register := player.Register{MemberNo: r.MemberNo, Index: i.index(r, have)}
	if same {
		decided, err = decide(ctx, i.draft, players, stream, player.Command(register))
		return existed, decided, err
	}
	register.Sealed = []byte(name) // stands in for the sealed name and never leaves the draft
	decided, err = decideAs(ctx, i.draft, players, stream, player.Command(register), func(ctx context.Context) (player.Command, error) {
		sealed, err := i.service.seal(ctx, id, events.Personal{Name: name})
		final := register
		final.Sealed = sealed
		return final, err
	})
	if err == nil {
		i.names[id] = name
	}
	return existed, decided, err
}

// named reports whether a player has this very name, in the draft or before it.
func (i *importing) named(ctx context.Context, id string, have *player.State, name string) (bool, error) {
	if given, ok := i.names[id]; ok {
		return given == name, nil
	}
	return i.service.named(ctx, id, have, name)
}

// index is what a row records. Without a date, an index that is in effect already
// is not recorded again: the same file tomorrow changes nothing.
func (i *importing) index(r csvfile.PlayerRow, have *player.State) *player.RecordIndex {
	if r.IndexDate == "" && r.IndexTenths != nil {
		now, ok := have.Current(i.service.now().UTC().Format(time.DateOnly))
		if ok && now.Tenths == *r.IndexTenths {
			return nil
		}
	}
	return i.service.indexOf(RegisterPlayer{IndexTenths: r.IndexTenths, Effective: r.IndexDate})
}

// member finds a player by member number, in the draft or before it, and keeps a
// problem where there is none.
func (i *importing) member(ctx context.Context, row int, no string) (*player.State, error) {
	return i.memberIn(ctx, row, "member_no", no)
}

// memberIn is member for a number in another column.
func (i *importing) memberIn(ctx context.Context, row int, column, no string) (*player.State, error) {
	p, err := look(ctx, i.draft, players, events.PlayerStream(i.service.club, i.service.PlayerID(no)))
	if err != nil {
		return nil, err
	}
	if p.Exists() {
		return p, nil
	}
	hint, err := i.zerosLost(ctx, no)
	if err != nil {
		return nil, err
	}
	i.problem(row, column, "unknown", "", "%s is not the number of a registered player%s", no, hint)
	return nil, nil
}

// zerosLost asks back where a spreadsheet took a member number for a number.
func (i *importing) zerosLost(ctx context.Context, no string) (string, error) {
	for zeros := 1; zeros <= 4; zeros++ {
		longer := strings.Repeat("0", zeros) + no
		p, err := look(ctx, i.draft, players, events.PlayerStream(i.service.club, i.service.PlayerID(longer)))
		if err != nil {
			return "", err
		}
		if p.Exists() {
			return "; " + longer + " is: were leading zeros lost?", nil
		}
	}
	return "", nil
}
