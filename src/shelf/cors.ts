import type { ShelfFile } from './shelf-file.ts';

/**
 * What has to stand in the settings of a store so that a page of `origin` may use it: for a bucket its CORS rules, for Apache
 * lines of its configuration.
 */
export function corsSettings({ place }: Pick<ShelfFile, 'place'>, origin: string): string {
  if (place.kind === 's3')
    return JSON.stringify({
      CORSRules: [
        { AllowedOrigins: [origin], AllowedMethods: ['GET', 'PUT'], AllowedHeaders: ['*'], ExposeHeaders: ['Date'] },
      ],
    });
  return [
    `Header always set Access-Control-Allow-Origin "${origin}"`,
    'Header always set Access-Control-Allow-Methods "GET, PUT, MKCOL, PROPFIND"',
    'Header always set Access-Control-Allow-Headers "Authorization, Content-Type, Depth, If-None-Match"',
    'Header always set Access-Control-Expose-Headers "Date"',
    // A browser asks beforehand, without name and password.
    'RewriteEngine On',
    'RewriteCond %{REQUEST_METHOD} OPTIONS',
    'RewriteRule .* - [R=204,L]',
  ].join('\n');
}
