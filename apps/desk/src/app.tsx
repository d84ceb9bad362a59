import { QueryClientProvider } from '@tanstack/react-query';
import {
  createRootRoute,
  createRoute,
  createRouter,
  lazyRouteComponent,
  Outlet,
  RouterProvider,
} from '@tanstack/react-router';
import { queryClient } from './data/hub.ts';
import { parseSearch, type Search, writeSearch } from './data/where.ts';
import { PAGES } from './pages.ts';
import { Frame } from './shell/frame.tsx';
import { Lost, Trouble } from './shell/trouble.tsx';

const root = createRootRoute({
  component: () => (
    <Frame>
      <Outlet />
    </Frame>
  ),
  validateSearch: (search: Record<string, unknown>) => search as Search,
  notFoundComponent: Lost,
});

const routes = PAGES.map((page) =>
  createRoute({
    getParentRoute: () => root,
    path: page.path,
    component: lazyRouteComponent(page.load),
    errorComponent: Trouble,
  }),
);

const router = createRouter({
  routeTree: root.addChildren(routes),
  parseSearch,
  stringifySearch: writeSearch,
  defaultPreload: 'intent',
});

export function App() {
  return (
    <QueryClientProvider client={queryClient}>
      <RouterProvider router={router} />
    </QueryClientProvider>
  );
}
