// Writes JSON schemas for the bodies that Countwright sends, from the published
// description of the chat service's API (npm: discord-api-spec, MIT), for the
// test in bot/chat. Usage: node description.mjs FOLDER OUT.json, where FOLDER
// holds node_modules.
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { writeFileSync } from "node:fs";

const [folder, out] = process.argv.slice(2);
const module = (path) => import(pathToFileURL(resolve(join(folder, "node_modules", path))));
const z = await module("zod/index.js");
const api = await module("discord-api-spec/build/discord-api-spec.zod.js");

const bodies = {
  callback: z.union([
    api.CreateMessageInteractionCallbackRequestSchema,
    api.ApplicationCommandAutocompleteCallbackRequestSchema,
    api.ModalInteractionCallbackRequestSchema,
  ]),
  edit: api.IncomingWebhookUpdateRequestPartialSchema,
  follow: api.IncomingWebhookRequestPartialSchema,
  command: api.ApplicationCommandCreateRequestSchema,
  post: api.MessageCreateRequestSchema,
  direct: api.CreatePrivateChannelRequestSchema,
  event: api.ExternalScheduledEventCreateRequestSchema,
};
// closed refuses fields that the description does not name: a misspelt one is
// ignored by the service, and seen here. An alternative that lets anything
// through is left out of its choice.
function closed(schema) {
  if (schema && typeof schema === "object") {
    Object.values(schema).forEach(closed);
    if (schema.anyOf) {
      schema.anyOf = schema.anyOf.filter((one) => Object.keys(one).length > 0);
    }
    if (schema.type === "object" && schema.properties && !("additionalProperties" in schema)) {
      schema.additionalProperties = false;
    }
  }
  return schema;
}

const schemas = {};
for (const [name, schema] of Object.entries(bodies)) {
  schemas[name] = closed(z.toJSONSchema(schema, { io: "input", unrepresentable: "any" }));
}
writeFileSync(out, JSON.stringify(schemas));
