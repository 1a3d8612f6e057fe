using System.Collections.Concurrent;
using System.Collections.Frozen;
using Google.Protobuf.Reflection;

namespace Reliability.Files.Json;

/// <summary>Fields of a message by the names that JSON may use: lowerCamelCase, or as in the proto.</summary>
public static class FieldNames
{
    private static readonly ConcurrentDictionary<MessageDescriptor, FrozenDictionary<string, FieldDescriptor>> Known = new();

    /// <summary>The field of that name, or null.</summary>
    public static FieldDescriptor? Find(MessageDescriptor type, string name) =>
        Known.GetOrAdd(type, static message => message.Fields.InDeclarationOrder()
            .SelectMany(field => new[] { (Name: field.JsonName, field), (field.Name, field) })
            .DistinctBy(pair => pair.Name)
            .ToFrozenDictionary(pair => pair.Name, pair => pair.field))
        .GetValueOrDefault(name);
}
