package cluster

import (
	"errors"
	"fmt"
	"os"
	"os/user"
	"path/filepath"
	"strconv"
	"syscall"

	"golang.org/x/sys/unix"
)

// as says which operating system user runs postgres and owns its files.
type as struct {
	name     string
	uid, gid int
	// closed: the path is barred to uid (a folder below /root, say), so root lets
	// postgres keep the one privilege of walking through.
	closed bool
}

// runner picks who runs postgres: the owner of the cluster that is there; else
// this user; else, for root, the user postgres or nobody.
func runner(dir, data string) (who as, err error) {
	me := os.Geteuid()
	owner := me
	info, err := os.Stat(data)
	switch {
	case err == nil:
		owner = int(info.Sys().(*syscall.Stat_t).Uid)
	case !errors.Is(err, os.ErrNotExist):
		return who, fmt.Errorf("look at the cluster: %w", err)
	}
	switch {
	case owner == 0 && err == nil:
		return who, fmt.Errorf("the cluster in %s belongs to root, as whom PostgreSQL does not run: give it to another user (chown -R postgres %s)", dir, data)
	case owner == 0:
		who, err = lesser()
	case me != 0 && me != owner:
		return who, fmt.Errorf("the cluster in %s belongs to user %d: run as that user or as root, or choose another COLDRAIL_DATA", dir, owner)
	default:
		who, err = named(strconv.Itoa(owner))
	}
	who.closed = err == nil && me == 0 && !passable(dir, who)
	return who, err
}

// lesser is the user root steps down to.
func lesser() (as, error) {
	for _, name := range []string{"postgres", "nobody"} {
		if u, err := user.Lookup(name); err == nil {
			return named(u.Uid)
		}
	}
	return as{}, errors.New("PostgreSQL does not run as root, and this machine has neither a user postgres nor nobody: start as an ordinary user, or set DATABASE_URL")
}

func named(uid string) (as, error) {
	u, err := user.LookupId(uid)
	if err != nil {
		return as{}, fmt.Errorf("user %s has no name on this machine, which PostgreSQL needs: add one to /etc/passwd, or set DATABASE_URL", uid)
	}
	id, err := strconv.Atoi(u.Uid)
	if err != nil {
		return as{}, err
	}
	gid, err := strconv.Atoi(u.Gid)
	return as{name: u.Username, uid: id, gid: gid}, err
}

// passable says whether who may walk down to dir, by the permission bits.
func passable(dir string, who as) bool {
	for ; ; dir = filepath.Dir(dir) {
		info, err := os.Stat(dir)
		if err != nil {
			return false
		}
		st, bit := info.Sys().(*syscall.Stat_t), os.FileMode(0o001)
		switch {
		case int(st.Uid) == who.uid:
			bit = 0o100
		case int(st.Gid) == who.gid:
			bit = 0o010
		}
		if info.Mode()&bit == 0 {
			return false
		}
		if dir == "/" {
			return true
		}
	}
}

// attributes start a child as this user. deathSignal reaches it when we die.
func (a as) attributes(deathSignal syscall.Signal) *syscall.SysProcAttr {
	attr := &syscall.SysProcAttr{
		Setpgid:   true, // a typed Ctrl-C is for the program, which then stops postgres
		Pdeathsig: deathSignal,
	}
	if os.Geteuid() == 0 {
		attr.Credential = &syscall.Credential{Uid: uint32(a.uid), Gid: uint32(a.gid)}
	}
	if a.closed {
		attr.AmbientCaps = []uintptr{unix.CAP_DAC_OVERRIDE} // unlike a user namespace, containers allow it
	}
	return attr
}

// folder makes dir for this user alone. One that is there is left as it is.
func (a as) folder(dir string) error {
	err := os.Mkdir(dir, 0o700)
	if errors.Is(err, os.ErrExist) {
		return nil
	}
	if err != nil || os.Geteuid() != 0 {
		return err
	}
	return os.Lchown(dir, a.uid, a.gid)
}
