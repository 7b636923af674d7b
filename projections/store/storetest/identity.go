package storetest

import (
	"fmt"
	"os/user"
	"strconv"
)

// lookUp finds the numbers of a user and its group.
func lookUp(name string) (uid, gid int, err error) {
	u, err := user.Lookup(name)
	if err != nil {
		return 0, 0, err
	}
	if uid, err = strconv.Atoi(u.Uid); err != nil {
		return 0, 0, fmt.Errorf("user %s: %w", name, err)
	}
	if gid, err = strconv.Atoi(u.Gid); err != nil {
		return 0, 0, fmt.Errorf("group of %s: %w", name, err)
	}
	return uid, gid, nil
}
