// Package cluster runs the shop's own PostgreSQL: a private cluster in the data
// directory, made on first use from the binaries found on this machine.
//
// It listens on a Unix socket only and lets in the operating system's users by
// name (peer), so there is no port to guard and no password to store. postgres
// runs as a direct child: it stops with the program, and when the program is
// killed the kernel stops it too. Started as root, it steps down to the user
// postgres (or nobody), because PostgreSQL refuses to run as root.
//
// The files of one data directory:
//
//	lock        held by the program that owns the cluster, as long as it lives
//	data        the cluster
//	data.init   a first start under way; thrown away if it was cut short
//	run         the socket (or /tmp/coldrail-HASH where the path is too long)
//
// One program owns the cluster. A second one on the same directory attaches to
// it, and loses its database when the first one stops.
//
// Everything here needs Linux. Elsewhere Start says to set DATABASE_URL.
package cluster
