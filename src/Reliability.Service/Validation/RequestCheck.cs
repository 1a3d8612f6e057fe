using Google.Protobuf;
using Google.Protobuf.Reflection;
using Google.Protobuf.WellKnownTypes;
using ProtoValidate;
using Reliability.Files.Json;
using Reliability.History.Identifiers;
using Reliability.Service.Errors;
using FieldPathElement = Buf.Validate.FieldPathElement;

namespace Reliability.Service.Validation;

/// <summary>
/// Holds a request to the rules that stand beside its fields in the protos, its times to the calendar and its text to what
/// can be stored. Not for events and samples: their thousands of parts have plain checks of their own.
/// </summary>
internal sealed class RequestCheck
{
    private readonly Validator _validator = new(new ValidatorOptions
    {
        PreLoadDescriptors = true,
        FileDescriptors =
        [
            V1.LifeAnalysisServiceReflection.Descriptor, V1.LifeForecastServiceReflection.Descriptor,
            V1.ModuleCatalogServiceReflection.Descriptor, V1.ModuleHistoryServiceReflection.Descriptor,
        ],
    });

    // A choice is named after itself in a path, which nobody sees on the wire: its fields are told.
    private static readonly Dictionary<string, string> Oneofs =
        new[] { V1.FitLivesRequest.Descriptor, V1.OutputThreshold.Descriptor }
            .SelectMany(message => message.Oneofs).Where(oneof => !oneof.IsSynthetic)
            .ToDictionary(oneof => oneof.Name, oneof => "must have one of " + string.Join(
                ", ", oneof.Fields.Select(field => field.Name)));

    /// <summary>Refuses the request when something in it is wrong.</summary>
    /// <exception cref="Grpc.Core.RpcException">INVALID_ARGUMENT: there are violations.</exception>
    public void Enforce(IMessage request) => Check(request).ThrowIfAny();

    /// <summary>What is wrong in the request; hand checks may add to it.</summary>
    public Violations Check(IMessage request)
    {
        var violations = new Violations();
        var path = new FieldPath();
        CheckValues(request, path, violations);
        // Its rules compare times, which must make sense first.
        if (!violations.IsEmpty)
            return violations;
        foreach (var violation in _validator.Validate(request, failFast: false).Violations)
            violations.Add(PathOf(violation.Field?.Elements ?? []), RuleOf(violation));
        return violations;
    }

    /// <summary>The rule in words that fit behind the name of a field.</summary>
    private static string RuleOf(Buf.Validate.Violation violation)
    {
        const string Subject = "value ";
        if (violation.Field?.Elements.LastOrDefault()?.FieldName is { } name && Oneofs.TryGetValue(name, out var choices))
            return choices;
        return violation.Message.StartsWith(Subject, StringComparison.Ordinal)
            ? violation.Message[Subject.Length..] : violation.Message;
    }

    private static string PathOf(IEnumerable<FieldPathElement> elements)
    {
        var path = new FieldPath();
        foreach (var element in elements)
        {
            path.Enter(element.FieldName);
            switch (element.SubscriptCase)
            {
                case FieldPathElement.SubscriptOneofCase.Index: path.EnterIndex((int)element.Index); break;
                case FieldPathElement.SubscriptOneofCase.StringKey: path.EnterKey(element.StringKey); break;
            }
        }

        return path.ToString();
    }

    /// <summary>Times must be of the calendar, and text must be such that it can be stored.</summary>
    private static void CheckValues(IMessage message, FieldPath path, Violations violations)
    {
        foreach (var field in message.Descriptor.Fields.InDeclarationOrder())
        {
            if (field.FieldType is not (FieldType.Message or FieldType.String) || field.IsMap || HasOwnChecks(field))
                continue;
            path.Enter(field.Name);
            if (field.IsRepeated)
            {
                var index = 0;
                foreach (var item in (System.Collections.IList)field.Accessor.GetValue(message))
                {
                    path.EnterIndex(index++);
                    CheckValue(item, path, violations);
                    path.Leave();
                }
            }
            else
            {
                CheckValue(field.Accessor.GetValue(message), path, violations);
            }

            path.Leave();
        }
    }

    private static void CheckValue(object? value, FieldPath path, Violations violations)
    {
        switch (value)
        {
            case Timestamp time when !Times.IsValid(time):
                violations.Add(path.ToString(), Times.Rule);
                break;
            case Timestamp:
                break;
            case string text when HasControls(text) && !(path.ToString() == "filter" && !HasControls(WithoutSeparators(text))):
                violations.Add(path.ToString(), "must not hold control characters");
                break;
            case IMessage inner:
                CheckValues(inner, path, violations);
                break;
        }
    }

    private static bool HasControls(string text) => text.AsSpan().ContainsAnyInRange('\0', '\x1F');

    // A filter may look for a UDI as a scanner sent it.
    private static string WithoutSeparators(string text) => text.Replace(IdentifierText.Separator, ' ');

    private static bool HasOwnChecks(FieldDescriptor field) =>
        field.FieldType == FieldType.Message
        && (field.MessageType == V1.LifeObservation.Descriptor || field.MessageType == V1.ModuleEvent.Descriptor);
}
