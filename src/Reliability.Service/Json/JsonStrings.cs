using System.Text.Json.Serialization;

namespace Reliability.Service.Json;

[JsonSerializable(typeof(string))]
internal sealed partial class JsonStrings : JsonSerializerContext;
