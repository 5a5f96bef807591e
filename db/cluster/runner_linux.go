package cluster

import (
	"errors"
	"fmt"
	"os"
	"os/user"
	"path/filepath"
	"strconv"
	"syscall"
)

// as says which operating system user runs postgres and owns its files.
type as struct {
	name     string
	uid, gid int
	// namespace: the path is closed to uid (a folder below /root, say), so root
	// stays the owner and postgres sees root as uid through a user namespace.
	namespace bool
}

// runner picks who runs postgres: the owner of the cluster that is there; else
// this user; else, for root, the user postgres or nobody.
func runner(dir, data string) (as, error) {
	me := os.Geteuid()
	owner := me
	if info, err := os.Stat(data); err == nil {
		owner = int(info.Sys().(*syscall.Stat_t).Uid)
	} else if !errors.Is(err, os.ErrNotExist) {
		return as{}, fmt.Errorf("look at the cluster: %w", err)
	} else if me == 0 {
		return lesser(dir)
	}
	switch {
	case owner != 0:
		if me != 0 && me != owner {
			return as{}, fmt.Errorf("the cluster in %s belongs to user %d: run as that user or as root, or choose another COLDRAIL_DATA", dir, owner)
		}
		return named(strconv.Itoa(owner))
	case me == 0:
		who, err := lesser(dir)
		who.namespace = true
		return who, err
	}
	return as{}, fmt.Errorf("the cluster in %s belongs to root: run as root, or choose another COLDRAIL_DATA", dir)
}

// lesser is the user root steps down to.
func lesser(dir string) (as, error) {
	for _, name := range []string{"postgres", "nobody"} {
		u, err := user.Lookup(name)
		if err != nil {
			continue
		}
		who, err := named(u.Uid)
		if err != nil {
			return as{}, err
		}
		who.namespace = !passable(dir, who)
		return who, nil
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

// owner is the user the files belong to, as seen from outside the namespace.
func (a as) owner() (uid, gid int) {
	if a.namespace {
		return 0, 0
	}
	return a.uid, a.gid
}

// attributes start a child as this user. deathSignal reaches it when we die.
func (a as) attributes(deathSignal syscall.Signal) *syscall.SysProcAttr {
	attr := &syscall.SysProcAttr{
		Setpgid:   true, // a typed Ctrl-C is for the program, which then stops postgres
		Pdeathsig: deathSignal,
	}
	switch {
	case a.namespace:
		attr.Cloneflags = syscall.CLONE_NEWUSER
		attr.UidMappings = []syscall.SysProcIDMap{{ContainerID: a.uid, HostID: 0, Size: 1}}
		attr.GidMappings = []syscall.SysProcIDMap{{ContainerID: a.gid, HostID: 0, Size: 1}}
	case os.Geteuid() == 0:
		attr.Credential = &syscall.Credential{Uid: uint32(a.uid), Gid: uint32(a.gid)}
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
	uid, gid := a.owner()
	return os.Lchown(dir, uid, gid)
}
