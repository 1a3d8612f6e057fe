using System.CommandLine;
using Reliability.DemoData.Records;
using Reliability.DemoData.Scenario;

var seed = new Option<ulong>("--seed")
{
    Description = "Seed of the simulation.",
    DefaultValueFactory = _ => DemoFiles.CommittedSeed,
};
var folder = new Option<DirectoryInfo>("--out") { Description = "Folder to write to.", Required = true };
var write = new Command("write", "Writes the files of the invented network.") { seed, folder };
write.SetAction(parsed =>
{
    var target = parsed.GetRequiredValue(folder);
    target.Create();
    foreach (var (name, text) in DemoFiles.Of(Network.Brindlemoor, parsed.GetValue(seed)))
        File.WriteAllText(Path.Combine(target.FullName, name), text);
});

return new RootCommand("Data of an invented hospital network, and answers beside its stated truth.") { write }
    .Parse(args).Invoke();
