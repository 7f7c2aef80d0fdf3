#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Writes src/solve/sobol_numbers.c from the direction numbers that SciPy carries (Debian package python3-scipy,
scipy/stats/_sobol_direction_numbers.npz: those of Joe & Kuo 2008 in numbers, BSD-3-Clause). Run by hand, once.

usage: sobol_table.py > src/solve/sobol_numbers.c
"""
import pathlib

import numpy as np
import scipy

DIMENSIONS = 256
data = np.load(pathlib.Path(scipy.__file__).parent / "stats/_sobol_direction_numbers.npz")
print("""/* SPDX-License-Identifier: MIT AND BSD-3-Clause */
/* Primitive polynomials and first direction numbers of Sobol' points, written by tools/sobol_table.py.
 *
 * Source: S. Joe and F. Y. Kuo, Constructing Sobol sequences with better two-dimensional projections, SIAM J. Sci. Comput.
 * 30 (2008) 2635-2654 (memory: the citation), the numbers as SciPy 1.10 carries them in
 * scipy/stats/_sobol_direction_numbers.npz (read there; Copyright SciPy Developers, BSD-3-Clause):
 *
 * Redistribution and use in source and binary forms, with or without modification, are permitted provided that the
 * following conditions are met: 1. Redistributions of source code must retain the above copyright notice, this list of
 * conditions and the following disclaimer. 2. Redistributions in binary form must reproduce the above copyright notice,
 * this list of conditions and the following disclaimer in the documentation and/or other materials provided with the
 * distribution. 3. Neither the name of the copyright holder nor the names of its contributors may be used to endorse or
 * promote products derived from this software without specific prior written permission. THIS SOFTWARE IS PROVIDED BY THE
 * COPYRIGHT HOLDERS AND CONTRIBUTORS "AS IS" AND ANY EXPRESS OR IMPLIED WARRANTIES, INCLUDING, BUT NOT LIMITED TO, THE
 * IMPLIED WARRANTIES OF MERCHANTABILITY AND FITNESS FOR A PARTICULAR PURPOSE ARE DISCLAIMED. IN NO EVENT SHALL THE
 * COPYRIGHT OWNER OR CONTRIBUTORS BE LIABLE FOR ANY DIRECT, INDIRECT, INCIDENTAL, SPECIAL, EXEMPLARY, OR CONSEQUENTIAL
 * DAMAGES (INCLUDING, BUT NOT LIMITED TO, PROCUREMENT OF SUBSTITUTE GOODS OR SERVICES; LOSS OF USE, DATA, OR PROFITS; OR
 * BUSINESS INTERRUPTION) HOWEVER CAUSED AND ON ANY THEORY OF LIABILITY, WHETHER IN CONTRACT, STRICT LIABILITY, OR TORT
 * (INCLUDING NEGLIGENCE OR OTHERWISE) ARISING IN ANY WAY OUT OF THE USE OF THIS SOFTWARE, EVEN IF ADVISED OF THE
 * POSSIBILITY OF SUCH DAMAGE.
 */
#include "solve/sample.h"

/* Each: the polynomial's coefficients as bits, highest power first, and as many odd numbers as its degree. */
const struct inw_sobol_number inw_sobol_number[INW_SAMPLE_DIMENSIONS] = {""")
for poly, first in zip(data["poly"][:DIMENSIONS], data["vinit"][:DIMENSIONS]):
    degree = max(int(poly).bit_length() - 1, 1)
    print(f"\t{{{poly}, {{{', '.join(str(m) for m in first[:degree])}}}}},")
print("};")
