package cluster

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"syscall"
)

// longest is what fits into a socket address with its closing zero: unix(7), sun_path[108].
const longest = 107

// socketPath is where the socket of the cluster in dir lies. Both the owner and
// a program that attaches work it out from dir alone.
func socketPath(dir string) string {
	run := filepath.Join(dir, "run")
	if len(filepath.Join(run, ".s.PGSQL."+port)) <= longest {
		return run
	}
	sum := sha256.Sum256([]byte(dir))
	return "/tmp/coldrail-" + hex.EncodeToString(sum[:8])
}

// socketDir makes the socket's folder, open to who alone (and root).
func socketDir(dir string, who as) (string, error) {
	socket := socketPath(dir)
	if err := who.folder(socket); err != nil {
		return "", fmt.Errorf("make the socket's folder: %w", err)
	}
	return socket, trusted(socket, filepath.Join(dir, "data"))
}

// trusted refuses a socket folder that is not the cluster owner's alone: /tmp is
// everybody's, and whoever made the folder first would be our database.
func trusted(socket, data string) error {
	home, err := os.Stat(data)
	if err != nil {
		return err
	}
	info, err := os.Lstat(socket)
	if err != nil {
		return err
	}
	owner := home.Sys().(*syscall.Stat_t).Uid
	if !info.IsDir() || info.Mode().Perm() != 0o700 || info.Sys().(*syscall.Stat_t).Uid != owner {
		return fmt.Errorf("%s must be a folder of the database's user (%d) alone: remove it and start again", socket, owner)
	}
	return nil
}
