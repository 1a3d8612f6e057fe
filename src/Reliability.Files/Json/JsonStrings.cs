using System.Text.Json.Serialization;

namespace Reliability.Files.Json;

[JsonSerializable(typeof(string))]
internal sealed partial class JsonStrings : JsonSerializerContext;
