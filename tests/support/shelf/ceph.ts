import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { AwsClient } from 'aws4fetch';
import type { S3Address } from '../../../src/shelf/shelf-file.ts';
import { answers, freePort, run, start } from './servers.ts';

export const CEPH = ['ceph', 'ceph-mon', 'ceph-osd', 'monmaptool', 'radosgw', 'radosgw-admin'];
const FSID = '7a1c7a1c-0000-4000-8000-000000000001';

export interface Ceph {
  readonly owner: S3Address;
  readonly writer: S3Address;
  readonly stop: () => Promise<void>;
}

/**
 * A Ceph cluster of one monitor, one store in memory and one S3 gateway on free ports of this machine, in a folder of its own, with a bucket
 * whose policy lets a second user only put.
 */
export async function startCeph(cors = ''): Promise<Ceph> {
  const folder = mkdtempSync(join(tmpdir(), 'ceph-'));
  for (const each of ['mon', 'osd', 'rgw', 'run']) mkdirSync(join(folder, each));
  const [monitor, gateway] = [await freePort(), await freePort()];
  const settings = join(folder, 'ceph.conf');
  writeFileSync(
    settings,
    `[global]
fsid = ${FSID}
mon_host = [v1:127.0.0.1:${monitor}]
mon_initial_members = a
auth_cluster_required = none
auth_service_required = none
auth_client_required = none
auth_allow_insecure_global_id_reclaim = true
osd_pool_default_size = 1
osd_pool_default_min_size = 1
osd_pool_default_pg_num = 1
osd_pool_default_pgp_num = 1
osd_pool_default_pg_autoscale_mode = off
osd_crush_chooseleaf_type = 0
mon_allow_pool_size_one = true
mon_max_pg_per_osd = 1000
mon_data_avail_crit = 1
mon_data_avail_warn = 2
ms_bind_ipv6 = false
ms_bind_msgr2 = false
log_file = ${folder}/$name.log
admin_socket = ${folder}/run/$name.asok
run_dir = ${folder}/run
pid_file =
osd_objectstore = memstore
osd_crush_update_on_start = false
osd_class_update_on_start = false
memstore_device_bytes = 2147483648
osd_data = ${folder}/osd
mon_data = ${folder}/mon
public_addr = 127.0.0.1
cluster_addr = 127.0.0.1
[client.rgw.a]
rgw_data = ${folder}/rgw
rgw_frontends = beast endpoint=127.0.0.1:${gateway}
`,
  );
  const cluster = ['-c', settings];
  const running: { readonly stop: () => Promise<void> }[] = [];
  const stop = async (): Promise<void> => {
    for (const each of running.toReversed()) await each.stop();
    rmSync(folder, { recursive: true, force: true });
  };
  try {
    const map = join(folder, 'monmap');
    run('monmaptool', ['--create', '--addv', 'a', `[v1:127.0.0.1:${monitor}]`, '--fsid', FSID, map]);
    run('ceph-mon', [...cluster, '--mkfs', '-i', 'a', '--monmap', map]);
    running.push(start('ceph-mon', [...cluster, '-i', 'a', '-f']));
    await says('ceph', [...cluster, '--connect-timeout', '30', 'osd', 'create', FSID], /^0/m);
    run('ceph-osd', [...cluster, '-i', '0', '--mkfs', '--mkkey', '--osd-uuid', FSID]);
    running.push(start('ceph-osd', [...cluster, '-i', '0', '-f']));
    // Pools that are made before the store is up come to nothing.
    await says('ceph', [...cluster, 'osd', 'crush', 'add', 'osd.0', '1.0', 'root=default'], /add item|already/i);
    await says('ceph', [...cluster, 'osd', 'stat'], /\b1 up/);
    const owner = await user(cluster, 'station');
    const writer = await user(cluster, 'tablet');
    running.push(start('radosgw', [...cluster, '-n', 'client.rgw.a', '--no-mon-config', '-f']));
    const address = `http://127.0.0.1:${gateway}`;
    await answers(address);
    const client = new AwsClient({ ...owner, service: 's3', region: 'us-east-1', retries: 3 });
    const bucket = `${address}/checks`;
    const put = async (what: string, body: string): Promise<void> => {
      const answer = await client.fetch(`${bucket}${what}`, { method: 'PUT', body });
      if (!answer.ok) throw new Error(`${what}: ${answer.status} ${await answer.text()}`);
    };
    await put('', '');
    const statement = (effect: string, who: string, actions: readonly string[]) => ({
      Effect: effect,
      Principal: { AWS: [`arn:aws:iam:::user/${who}`] },
      Action: actions,
      Resource: ['arn:aws:s3:::checks/*'],
    });
    const policy = {
      Version: '2012-10-17',
      Statement: [
        statement('Allow', 'tablet', ['s3:PutObject']),
        // What somebody has put is theirs to read and to take out, unless it is denied, and nobody else's, unless it is allowed.
        statement('Deny', 'tablet', ['s3:GetObject', 's3:DeleteObject', 's3:GetObjectAcl', 's3:PutObjectAcl']),
        statement('Allow', 'station', ['s3:GetObject', 's3:PutObject', 's3:DeleteObject']),
      ],
    };
    await put('?policy', JSON.stringify(policy));
    if (cors !== '') await put('?cors', cors);
    const at = { kind: 's3', address: bucket, region: 'us-east-1' } as const;
    return { owner: { ...at, ...owner }, writer: { ...at, ...writer }, stop };
  } catch (error) {
    await stop();
    throw error;
  }
}

/**
 * Asks a cluster that is still coming up until it says what is looked for. Without keys between its parts, one that asks before it was told
 * of the others is refused now and then ("wrong fsid"): it asks again.
 */
async function says(program: string, command: readonly string[], wanted: RegExp): Promise<void> {
  let said = '';
  for (let tries = 0; tries < 100; tries += 1) {
    try {
      said = run(program, command);
    } catch (error) {
      said = String(error);
    }
    if (wanted.test(said)) return;
    await new Promise((go) => setTimeout(go, 300));
  }
  throw new Error(`The cluster does not come up: ${said}`);
}

async function user(
  cluster: readonly string[],
  id: string,
): Promise<Pick<S3Address, 'accessKeyId' | 'secretAccessKey'>> {
  const keys = { accessKeyId: `KEYOF${id.toUpperCase()}`, secretAccessKey: `invented-secret-of-${id}` };
  const given = ['--access-key', keys.accessKeyId, '--secret-key', keys.secretAccessKey];
  const create = ['user', 'create', '--uid', id, '--display-name', id, ...given];
  await says('radosgw-admin', [...cluster, ...create], /"user_id"|exists/);
  return keys;
}
