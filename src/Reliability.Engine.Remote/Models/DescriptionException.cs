namespace Reliability.Engine.Remote.Models;

/// <summary>What a plug-in says of itself breaks a rule of the contract; the message names the field and the rule.</summary>
internal sealed class DescriptionException(string field, string rule) : Exception($"{field} {rule}");
