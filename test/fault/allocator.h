/* SPDX-License-Identifier: MIT */
/* allocator.h: an allocator that fails on demand. Two programs are made of the same test:
 *  - with --wrap, only the calls made in our own objects can fail. Works under AddressSanitizer, which then finds what the
 *    way out leaked or used after freeing.
 *  - with INW_FAULT_EVERYWHERE, malloc itself is replaced (glibc lets a program do that), so that the calls of the YAML
 *    and JSON libraries fail as well, and what is alive can be counted. Not under sanitizers: they replace it too.
 */
#ifndef INW_FAULT_ALLOCATOR_H
#define INW_FAULT_ALLOCATOR_H

#include <stdbool.h>
#include <stddef.h>

void fault_arm(long nth);     /* the nth call from now fails, once (1 = the next); 0: none */
void fault_arm_all(long nth); /* the nth call from now and all after it fail */
void fault_pause(bool paused); /* while paused, calls neither fail nor count */
long fault_calls(void);       /* calls since the last arming */
int fault_hits(void);         /* how many of them were made to fail */
long fault_alive(void);       /* blocks alive; always 0 with --wrap, where the sanitizer counts instead */

#endif
