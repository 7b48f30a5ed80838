// Writes rig.tmLanguage.json anew.
import fs from 'node:fs';
import { text } from './rig.mjs';

fs.writeFileSync(new URL('rig.tmLanguage.json', import.meta.url), text);
