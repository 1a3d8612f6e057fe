using Google.Protobuf.Reflection;
using Reliability.PlugIn.V1;
using Xunit;

namespace Reliability.Engine.Remote.Tests;

/// <summary>
/// The contract of remote plug-ins as it stands in <c>contract.txt</c>: a change of the protos is declared by changing that file too. Lines
/// may be added; one that goes or changes breaks plug-ins that are in use, and needs another version of the package.
/// <c>RELIABILITY_DECLARE_CONTRACT=FILE</c> writes it as it is now.
/// </summary>
public sealed class ContractTests
{
    [Fact]
    public void The_contract_is_the_declared_one()
    {
        var now = LifeModelPlugInService.Descriptor.File.Dependencies.Append(LifeModelPlugInService.Descriptor.File)
            .Append(OptionsReflection.Descriptor).DistinctBy(file => file.Name).SelectMany(Lines).Order(StringComparer.Ordinal).ToList();
        if (Environment.GetEnvironmentVariable("RELIABILITY_DECLARE_CONTRACT") is { Length: > 0 } path)
            File.WriteAllLines(path, now);
        var declared = File.ReadAllLines(Repository.Path("tests/Reliability.Engine.Remote.Tests/contract.txt"));
        Assert.Equal(declared.Order(StringComparer.Ordinal), now);
    }

    private static IEnumerable<string> Lines(FileDescriptor file) =>
    [
        .. file.Services.SelectMany(service => service.Methods).Select(method =>
            $"rpc {method.FullName}({(method.IsClientStreaming ? "stream " : "")}{method.InputType.FullName}) returns {method.OutputType.FullName}"),
        .. file.EnumTypes.SelectMany(type => type.Values.Select(value => $"enum {type.FullName} {value.Name} = {value.Number}")),
        .. file.MessageTypes.SelectMany(Lines),
    ];

    private static IEnumerable<string> Lines(MessageDescriptor message) => message.Fields.InDeclarationOrder().Select(field =>
        $"field {field.FullName} = {field.FieldNumber} {(field.IsRepeated ? "repeated " : field.HasPresence ? "present " : "")}"
        + (field.FieldType is FieldType.Message ? field.MessageType.FullName : field.FieldType is FieldType.Enum ? field.EnumType.FullName : field.FieldType)
        + (field.RealContainingOneof is { } one ? $" of {one.Name}" : ""));
}
