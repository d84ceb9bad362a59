import fastifyStatic from '@fastify/static';
import swagger from '@fastify/swagger';
import { problem } from '@fillwright/core/errors';
import { ASKED, type Me, ROUTES, type Route, type RouteName } from '@fillwright/wire';
import Fastify, { type FastifyBaseLogger, type FastifyInstance, type FastifyReply, type FastifyRequest } from 'fastify';
import { jsonSchemaTransform, serializerCompiler, validatorCompiler } from 'fastify-type-provider-zod';
import { type App, VERSION } from '../app.ts';
import { cookieIn, setCookie, whoIs } from '../people/sessions.ts';
import type { Desks } from './events.ts';
import { crossSite, maySee, secureHeaders } from './guard.ts';
import { problemsOf, refuse } from './refuse.ts';
import type { Answer, Asked, Handlers } from './route.ts';

const SMALL_BODY = 256 * 1024;
const MB = 1024 * 1024;
/** Routes that take more than a form: a spreadsheet, or the edits of a pasted roster. */
const LARGE_BODY: Partial<Record<RouteName, number>> = {
  editDraft: 64 * MB,
  stageImport: 32 * MB,
  addPhoto: MB,
  takeStick: 64 * MB,
};

/** How far a question is, to every desk of the fleet: the one that put it knows it by the name that it gave it. */
function progressTo(app: App, who: Me | undefined, name: string | string[] | undefined): Asked<RouteName>['say'] {
  if (who === undefined || typeof name !== 'string' || !/^[\w-]{1,64}$/.test(name)) return () => {};
  return ({ done, of }) => app.tell(who.fleet, { kind: 'progress', asked: name, done, of });
}

type AnyHandler = (asked: Asked<RouteName>) => Promise<Answer<unknown>>;

/** The whole HTTP side: every route of the table, the OpenAPI document, the event stream, and the desk's files. */
export async function buildServer(
  app: App,
  handlers: Handlers,
  desks: Desks,
  deskDir: string | undefined,
): Promise<FastifyInstance> {
  const server = Fastify({
    loggerInstance: app.log as FastifyBaseLogger,
    genReqId: () => app.randomId(),
    bodyLimit: SMALL_BODY,
    forceCloseConnections: true,
  });
  server.setValidatorCompiler(validatorCompiler);
  server.setSerializerCompiler(serializerCompiler);
  server.removeContentTypeParser('text/plain');
  server.addContentTypeParser('application/octet-stream', { parseAs: 'buffer' }, (_request, body, done) =>
    done(null, body),
  );
  server.addHook('onRequest', async (request, reply) => {
    secureHeaders(reply);
    const foreign = crossSite(request);
    if (foreign) return refuse(request, reply, [foreign]);
    if (request.url.startsWith('/api/')) reply.header('cache-control', 'no-store');
  });
  server.setErrorHandler((error: Error, request, reply) => {
    const problems = problemsOf(error);
    if (problems[0]?.code === 'FW-505' || problems[0]?.code === 'FW-503') request.log.error(error);
    return refuse(request, reply, problems);
  });
  await server.register(swagger, {
    openapi: {
      info: { title: 'Fillwright', version: VERSION, description: 'The office of a fleet’s fuelling sites.' },
    },
    transform: jsonSchemaTransform,
  });

  const signedIn = async (request: FastifyRequest): Promise<Me | undefined> => {
    const cookie = cookieIn(request.headers.cookie);
    return cookie === undefined ? undefined : whoIs(app.db, cookie, app.now());
  };

  for (const [name, route] of Object.entries(ROUTES) as [RouteName, Route][]) {
    const handler = handlers[name] as unknown as AnyHandler;
    server.route({
      method: route.method,
      url: route.path,
      bodyLimit: LARGE_BODY[name] ?? SMALL_BODY,
      schema: {
        operationId: name,
        summary: route.summary,
        description: route.may === 'anyone' ? 'No sign-in is needed.' : `For the role ${route.may} and above.`,
        ...(route.params ? { params: route.params } : {}),
        ...(route.query ? { querystring: route.query } : {}),
        ...(route.body ? { body: route.body } : {}),
        ...(route.file ? { produces: [route.file] } : { response: { 200: route.reply } }),
      },
      // Who asks is settled before the body is read.
      onRequest: async (request, reply) => {
        const who = await signedIn(request);
        const not = maySee(who, route.may);
        if (not) return refuse(request, reply, [not]);
        callers.set(request, who);
      },
      handler: (request, reply) => answer(request, reply, route, handler),
    });
  }

  const callers = new WeakMap<FastifyRequest, Me | undefined>();
  const answer = async (request: FastifyRequest, reply: FastifyReply, route: Route, handler: AnyHandler) => {
    const gone = new AbortController();
    reply.raw.once('close', () => {
      if (!reply.raw.writableEnded) gone.abort();
    });
    const caller = callers.get(request);
    const asked = {
      app,
      signal: gone.signal,
      say: progressTo(app, caller, request.headers[ASKED]),
      params: request.params,
      query: request.query,
      body: request.body,
      who: caller,
      cookie: cookieIn(request.headers.cookie),
      setSession: (cookie: string | undefined) => {
        reply.header('set-cookie', setCookie(cookie ?? '', request.protocol === 'https'));
      },
      fileName: (name: string) => {
        reply.header('content-disposition', `attachment; filename="${name.replace(/[^\w.-]+/g, '-')}"`);
      },
    } as unknown as Asked<RouteName>;
    const given = await handler(asked);
    if (!given.ok) return refuse(request, reply, given.error);
    if (!route.file) return reply.send(given.value);
    const bytes = typeof given.value === 'string' ? Buffer.from(given.value) : Buffer.from(given.value as Uint8Array);
    return reply.type(route.file).send(bytes);
  };

  server.get('/api/openapi.json', { schema: { hide: true } }, async () => server.swagger());
  server.get('/api/events', { schema: { hide: true } }, async (request, reply) => {
    const who = await signedIn(request);
    if (!who) return refuse(request, reply, [problem('FW-401')]);
    reply.hijack();
    desks.add(who.fleet, reply.raw);
  });

  if (deskDir !== undefined) {
    await server.register(fastifyStatic, {
      root: deskDir,
      cacheControl: false,
      setHeaders: (response, path) => {
        response.setHeader(
          'cache-control',
          path.includes('/assets/') ? 'public, max-age=31536000, immutable' : 'no-cache',
        );
      },
    });
  }
  server.setNotFoundHandler((request, reply) => {
    const page = request.method === 'GET' && deskDir !== undefined && !/^\/(api|assets)\//.test(request.url);
    return page ? reply.sendFile('index.html') : refuse(request, reply, [problem('FW-502', { found: request.url })]);
  });
  return server;
}
