using System.Reflection;
using Google.Protobuf.Reflection;
using Xunit;

namespace Reliability.Architecture.Tests;

/// <summary>
/// Holds the proto of plug-ins: every file, message, field with its number and type, and method stands in <c>plug-in-proto.txt</c>, and what is
/// changed without being declared there fails. A declared change makes the file anew:
/// <c>RELIABILITY_PLUG_IN_PROTO=tests/Reliability.Architecture.Tests/plug-in-proto.txt</c> in front of this test. Numbers are never used again.
/// </summary>
public sealed class PlugInProtoTests
{
    [Fact]
    public void The_proto_of_plug_ins_is_what_was_declared()
    {
        var lines = Lines();
        Assert.Contains(lines, line => line.StartsWith("rpc ", StringComparison.Ordinal));
        if (Environment.GetEnvironmentVariable("RELIABILITY_PLUG_IN_PROTO") is { Length: > 0 } path)
            File.WriteAllLines(Repository.Path(path), lines);
        var declared = File.ReadAllLines(Repository.Path("tests/Reliability.Architecture.Tests/plug-in-proto.txt"));
        Assert.Empty(declared.Except(lines).Select(line => "gone: " + line));
        Assert.Empty(lines.Except(declared).Select(line => "not declared: " + line));
        Assert.Equal(declared, lines);
    }

    private static List<string> Lines()
    {
        List<string> lines = [];
        foreach (var file in Files().OrderBy(file => file.Name, StringComparer.Ordinal))
        {
            lines.Add($"file {file.Name} of {file.Package}");
            foreach (var message in file.MessageTypes)
                Describe(message, lines);
            foreach (var values in file.EnumTypes)
                Describe(values, lines);
            foreach (var method in file.Services.SelectMany(service => service.Methods))
            {
                lines.Add(
                    $"rpc {method.FullName}({(method.IsClientStreaming ? "stream " : "")}{method.InputType.FullName}) "
                    + $"returns ({(method.IsServerStreaming ? "stream " : "")}{method.OutputType.FullName})");
            }
        }

        return lines;
    }

    /// <summary>What the compiler made of the protos lies in the assembly that calls plug-ins, for its own use.</summary>
    private static IEnumerable<FileDescriptor> Files() => Assembly.Load("Reliability.Engine.Remote").GetTypes()
        .Select(type => type.GetProperty("Descriptor", BindingFlags.Public | BindingFlags.Static))
        .Where(property => property?.PropertyType == typeof(FileDescriptor))
        .Select(property => (FileDescriptor)property!.GetValue(null)!)
        .Where(file => file.Package.StartsWith("reliability.plugin", StringComparison.Ordinal));

    private static void Describe(MessageDescriptor message, List<string> lines)
    {
        lines.Add($"message {message.FullName}");
        foreach (var field in message.Fields.InFieldNumberOrder())
        {
            var type = field.FieldType switch
            {
                FieldType.Message => field.MessageType.FullName,
                FieldType.Enum => field.EnumType.FullName,
                _ => field.FieldType.ToString(),
            };
            var label = field.IsMap ? "map " : field.IsRepeated ? "repeated " : field.HasPresence && field.FieldType != FieldType.Message ? "optional " : "";
            var group = field.RealContainingOneof is { } oneof ? $" of {oneof.Name}" : "";
            lines.Add($"field {field.FullName} = {field.FieldNumber}: {label}{type}{group}");
        }

        foreach (var inner in message.NestedTypes)
            Describe(inner, lines);
        foreach (var values in message.EnumTypes)
            Describe(values, lines);
    }

    private static void Describe(EnumDescriptor values, List<string> lines) =>
        lines.AddRange(values.Values.Select(value => $"value {values.FullName}.{value.Name} = {value.Number}"));
}
