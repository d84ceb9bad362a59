declare const config: { forbidden: object[]; options: object };
export default config;
