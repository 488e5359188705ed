/* Passwords in what is shown or kept. */
#ifndef FIELDFOCI_SECRETS_H
#define FIELDFOCI_SECRETS_H

#include "fieldfoci/error.h"

/* Copies `text` with "***" in the place of each password of a connection string: what password=, passwd=, pwd= and
 * sslpassword= say (in any case, blanks round the sign, in quotes or not), and what stands between user: and @ in an
 * address with "://". `out` is always terminated and does not overlap `text`; three times its length and one hold all.
 * Errors are masked already. */
FOCI_API void foci_secrets_mask(char *out, size_t size, const char *text);

#endif
