using System.CommandLine;
using Reliability.Cli.Answers;
using Reliability.Cli.Connections;
using Reliability.Files;
using Reliability.V1;
using Spectre.Console;
using Attribute = Reliability.V1.Attribute;

namespace Reliability.Cli.Lives;

/// <summary>Lists the values in use of an attribute that people type.</summary>
internal sealed class AttributesCommand(CommandContext context)
{
    private const int LargestPage = 1000;

    /// <summary>The command.</summary>
    public Command Create()
    {
        Argument<string> attribute = new("ATTRIBUTE") { Description = "site, refurbisher, host-model or lot." };
        attribute.AcceptOnlyFromAmong("site", "refurbisher", "host-model", "lot");
        ListOptions options = new();
        Command command = new("attributes", "List sites, refurbishers, host models or lots in use, with counts.") { attribute };
        options.AddTo(command);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            Attribute asked = ContractWords.TryParse(parse.GetRequiredValue(attribute), out Attribute value) ? value : Attribute.Unspecified;
            ListAttributeValuesResponse all = new();
            bool more = await PageReader.ReadAsync(options.Limit(parse), LargestPage, async (size, token) =>
            {
                ListAttributeValuesResponse page = await connection.History.ListAttributeValuesAsync(
                    new ListAttributeValuesRequest { Attribute = asked, PageSize = size, PageToken = token }, cancellationToken: cancellation).ConfigureAwait(false);
                all.AttributeValues.Add(page.AttributeValues);
                all.NextPageToken = page.NextPageToken;
                return (page.AttributeValues.Count, page.NextPageToken);
            }).ConfigureAwait(false);
            return context.Answer(parse, all, answer =>
            {
                Table table = Tables.Of(ContractWords.Of(asked), "Lives").Numbers(1);
                foreach (AttributeValue used in answer.AttributeValues)
                    table.Row(used.Value, NumberText.Count(used.LifeCount));
                context.Terminal.Write(table);
                ListOptions.TellMore(context.Terminal, more, answer.AttributeValues.Count);
            });
        });
    }
}
