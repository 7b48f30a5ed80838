// Writes the licences of what others have in the program anew: notices.mjs FOLDER, where the portable program was published to.
// The packages say which licence they have and whose it is; the texts of the two licences are those that they refer to.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';

/** Notices that are longer list what packages were made with, not what is in them. */
const longestNotice = 20_000;

const mit = `Permission is hereby granted, free of charge, to any person obtaining a copy of this software and associated documentation files (the
"Software"), to deal in the Software without restriction, including without limitation the rights to use, copy, modify, merge, publish,
distribute, sublicense, and/or sell copies of the Software, and to permit persons to whom the Software is furnished to do so, subject to
the following conditions:

The above copyright notice and this permission notice shall be included in all copies or substantial portions of the Software.

THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT NOT LIMITED TO THE WARRANTIES OF
MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR
ANY CLAIM, DAMAGES OR OTHER LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN CONNECTION WITH
THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE SOFTWARE.`;

const bsd = `Redistribution and use in source and binary forms, with or without modification, are permitted provided that the following conditions
are met:

1. Redistributions of source code must retain the above copyright notice, this list of conditions and the following disclaimer.
2. Redistributions in binary form must reproduce the above copyright notice, this list of conditions and the following disclaimer in the
documentation and/or other materials provided with the distribution.
3. Neither the name of the copyright holder nor the names of its contributors may be used to endorse or promote products derived from this
software without specific prior written permission.

THIS SOFTWARE IS PROVIDED BY THE COPYRIGHT HOLDERS AND CONTRIBUTORS "AS IS" AND ANY EXPRESS OR IMPLIED WARRANTIES, INCLUDING, BUT NOT
LIMITED TO, THE IMPLIED WARRANTIES OF MERCHANTABILITY AND FITNESS FOR A PARTICULAR PURPOSE ARE DISCLAIMED. IN NO EVENT SHALL THE COPYRIGHT
HOLDER OR CONTRIBUTORS BE LIABLE FOR ANY DIRECT, INDIRECT, INCIDENTAL, SPECIAL, EXEMPLARY, OR CONSEQUENTIAL DAMAGES (INCLUDING, BUT NOT
LIMITED TO, PROCUREMENT OF SUBSTITUTE GOODS OR SERVICES; LOSS OF USE, DATA, OR PROFITS; OR BUSINESS INTERRUPTION) HOWEVER CAUSED AND ON
ANY THEORY OF LIABILITY, WHETHER IN CONTRACT, STRICT LIABILITY, OR TORT (INCLUDING NEGLIGENCE OR OTHERWISE) ARISING IN ANY WAY OUT OF THE
USE OF THIS SOFTWARE, EVEN IF ADVISED OF THE POSSIBILITY OF SUCH DAMAGE.`;

const texts = { MIT: mit, 'BSD-3-Clause': bsd };

/** The packages in a published program and in the one that runs its scripts: name and version. */
export function packagesIn(folder) {
  const lists = [folder, path.join(folder, 'scripts')].filter(each => fs.existsSync(each)).flatMap(each => fs.readdirSync(each).filter(file => file.endsWith('.deps.json')).map(file => path.join(each, file)));
  const all = lists.flatMap(file => Object.entries(JSON.parse(fs.readFileSync(file, 'utf8')).libraries));
  return [...new Set(all.filter(([, { type }]) => type === 'package').map(([name]) => name.replace('/', ' ')))].sort();
}

function noticeOf(named) {
  const [name, version] = named.toLowerCase().split(' ');
  const folder = path.join(process.env.NUGET_PACKAGES ?? path.join(os.homedir(), '.nuget/packages'), name, version);
  const about = fs.readFileSync(path.join(folder, `${name}.nuspec`), 'utf8');
  const licence = /<license type="expression">([^<]*)/.exec(about)?.[1];
  const text = texts[licence];
  if (!text) throw new Error(`${named} has the licence ${licence}, whose text is not here`);
  const written = /<copyright>([^<]*)/.exec(about)?.[1] ?? '';
  // One package gives a year alone.
  const holder = /[a-z]{3}/i.test(written) ? written : `${written} ${/<authors>([^<]*)/.exec(about)[1]}`.trim();
  const more = ['NOTICE', 'notices/THIRDPARTYNOTICES.txt']
    .map(file => path.join(folder, file))
    .filter(file => fs.existsSync(file) && fs.statSync(file).size <= longestNotice)
    .map(file => `\n\n${fs.readFileSync(file, 'utf8').replace(/[ \t\r]+$/gm, '').trim()}`);
  return `${named} (${licence})\n\n${/copyright/i.test(holder) ? holder : `Copyright ${holder}`}\n\n${text}${more.join('')}\n`;
}

if (process.argv[1] === import.meta.filename) {
  const all = [...packagesIn(process.argv[2]).map(noticeOf), `The .NET runtime (MIT), in the native program\n\nCopyright (c) .NET Foundation and Contributors. All rights reserved.\n\n${mit}\n`];
  const line = `\n${'-'.repeat(80)}\n\n`;
  fs.writeFileSync(path.join(import.meta.dirname, '../src/PatchLang.Cli/notices.txt'), `Others' work in the program patchlang, and its licences.\n\n${all.join(line)}`);
}
