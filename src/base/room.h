/* How much memory there is. */
#ifndef FOCI_BASE_ROOM_H
#define FOCI_BASE_ROOM_H

/* Bytes that can still be had without pushing others out: the least of what the machine, the container (cgroup 2) and
 * the shell (ulimit -v) leave; INFINITY where none of them tells. */
double foci_memory_room(void);

#endif
