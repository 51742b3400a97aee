import { createHash } from 'node:crypto';
import { chmodSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { WebdavAddress } from '../../../src/shelf/shelf-file.ts';
import { answers, freePort, start } from './servers.ts';

const MODULES = '/usr/lib/apache2/modules';
const USED = [
  'mpm_event',
  'authn_core',
  'authn_file',
  'authz_core',
  'authz_user',
  'auth_basic',
  'alias',
  'rewrite',
  'headers',
  'dav',
  'dav_fs',
];

export interface Apache {
  readonly owner: WebdavAddress;
  readonly writer: WebdavAddress;
  /** Where it keeps what was put. */
  readonly files: string;
  readonly stop: () => Promise<void>;
}

/** Apache with `mod_dav` on a free port of this machine, in a folder of its own. `cors`: lines for pages of other addresses. */
export async function startApache(cors = ''): Promise<Apache> {
  const folder = mkdtempSync(join(tmpdir(), 'apache-'));
  const files = join(folder, 'files');
  mkdirSync(join(files, 'checks'), { recursive: true });
  mkdirSync(join(folder, 'lock'));
  // Started by root it serves as another user.
  for (const each of [folder, files, join(files, 'checks'), join(folder, 'lock')]) chmodSync(each, 0o777);
  const port = await freePort();
  const address = `http://127.0.0.1:${port}/checks`;
  const owner = { kind: 'webdav', address, user: 'station', password: 'invented: ä' } as const;
  const writer = { ...owner, user: 'tablet' };
  const line = ({ user, password }: WebdavAddress): string =>
    `${user}:{SHA}${createHash('sha1').update(password).digest('base64')}\n`;
  writeFileSync(join(folder, 'users'), line(owner) + line(writer));
  const root = process.getuid?.() === 0;
  writeFileSync(
    join(folder, 'apache.conf'),
    `${USED.map((name) => `LoadModule ${name}_module ${MODULES}/mod_${name}.so`).join('\n')}
ServerRoot ${folder}
ServerName 127.0.0.1
Listen 127.0.0.1:${port}
PidFile ${folder}/pid
ErrorLog ${folder}/error.log
${root ? 'User www-data\nGroup www-data' : ''}
DavLockDB ${folder}/lock/db
DocumentRoot ${files}
<Directory ${files}>
  Dav On
  AuthType Basic
  AuthName shelf
  AuthUserFile ${folder}/users
  <LimitExcept PUT MKCOL>
    Require user station
  </LimitExcept>
  <Limit PUT MKCOL>
    Require user station tablet
  </Limit>
</Directory>
${cors}
`,
  );
  const apache = start('apache2', ['-f', join(folder, 'apache.conf'), '-DFOREGROUND']);
  await answers(address);
  return {
    owner,
    writer,
    files: join(files, 'checks'),
    async stop() {
      await apache.stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
